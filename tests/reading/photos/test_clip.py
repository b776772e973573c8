"""The sharpest picture near each tap; a clip that is too long, broken or none at all is told so."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import pytest

from bylittle.reading.photos import clip
from bylittle.reading.photos.clip import ClipRefused, sharpest
from tests.reading.photos import makers


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return makers.clip(tmp_path_factory.mktemp("clip") / "clip.mp4").read_bytes()


@pytest.mark.parametrize(("tap", "sharp"), [(0.8, 1.0), (1.3, 1.0), (2.0, 2.2), (2.6, 2.2)])
def test_the_sharpest_picture_near_a_tap_is_taken(tap: float, sharp: float, recorded: bytes) -> None:
    (picture,) = sharpest(io.BytesIO(recorded), [tap])
    assert makers.seconds_shown(picture) == pytest.approx(sharp, abs=0.06)


def test_each_tap_gets_its_picture_in_the_order_of_the_taps(recorded: bytes) -> None:
    pictures = sharpest(io.BytesIO(recorded), [2.3, 0.9])
    assert [round(makers.seconds_shown(each), 1) for each in pictures] == [2.2, 1.0]


def test_a_webm_clip_is_read_too(tmp_path: Path) -> None:
    path = makers.clip(tmp_path / "clip.webm", codec="libvpx-vp9")
    (picture,) = sharpest(io.BytesIO(path.read_bytes()), [1.1])
    assert makers.seconds_shown(picture) == pytest.approx(1.0, abs=0.06)


def test_a_clip_held_upright_comes_out_upright(recorded: bytes) -> None:
    """The turn stands in the track header, as phones write it: here a quarter to the right."""
    turned = bytearray(recorded)
    at = turned.index(b"tkhd") + 44
    turned[at : at + 36] = struct.pack(">9i", 0, 65536, 0, -65536, 0, 0, 0, 0, 0x40000000)
    (lying,) = sharpest(io.BytesIO(recorded), [1.0])
    (upright,) = sharpest(io.BytesIO(bytes(turned)), [1.0])
    assert (lying.size, upright.size) == ((320, 240), (240, 320))
    bright = [makers.seconds_shown(lying), makers.seconds_shown(upright.crop((180, 0, 240, 60)))]
    assert bright[1] == pytest.approx(bright[0], abs=0.05)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "clip_not_opened"),
        (b"just words, no clip", "clip_not_opened"),
        (b"#EXTM3U\n#EXTINF:1,\nfile:///etc/passwd\n", "clip_not_opened"),
        (b"\x00\x00\x00\x18ftypmp42" + bytes(200), "clip_not_opened"),
    ],
)
def test_what_is_no_clip_is_told_so(data: bytes, code: str) -> None:
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(data), [0.5])
    assert told.value.code == code


def test_a_clip_cut_short_is_told_so(recorded: bytes) -> None:
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(recorded[: len(recorded) // 2]), [0.5])
    assert told.value.code in ("clip_not_opened", "clip_broken")


def test_a_clip_of_two_hours_is_refused_before_a_picture_is_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One picture at the start and one at two hours: short to make, long by its clock."""
    path = two_hours(tmp_path / "long.mp4")
    monkeypatch.setattr(clip, "_near", lambda *told: pytest.fail("a picture was unpacked"))
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(path.read_bytes()), [1.0])
    assert (told.value.code, told.value.values["value"]) == ("clip_too_long", 120)


def two_hours(path: Path) -> Path:
    import av

    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=1)
        stream.width, stream.height, stream.pix_fmt = 64, 64, "yuv420p"
        for second in (0, 7200):
            frame = av.VideoFrame.from_image(makers.quarters(64, 64))
            frame.pts = second
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return path


def test_the_work_is_bounded_whatever_the_clip_says(recorded: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    budget = clip._Budget(left=320 * 240 * 3)
    monkeypatch.setattr(clip, "_Budget", lambda: budget)
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(recorded), [1.0])
    assert told.value.code == "clip_too_much_work"


@pytest.mark.parametrize("tap", [-1.0, 60.0, 5000.0])
def test_a_tap_where_the_clip_has_no_picture_is_told(tap: float, recorded: bytes) -> None:
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(recorded), [tap])
    assert told.value.code == "clip_no_picture"


@pytest.mark.parametrize("taps", [[], [1.0] * 25])
def test_no_tap_or_too_many_are_told(taps: list[float], recorded: bytes) -> None:
    with pytest.raises(ClipRefused) as told:
        sharpest(io.BytesIO(recorded), taps)
    assert told.value.code == "clip_taps"


def test_a_tap_at_the_very_end_takes_the_last_picture(recorded: bytes) -> None:
    (picture,) = sharpest(io.BytesIO(recorded), [3.7])
    assert makers.seconds_shown(picture) == pytest.approx(2.95, abs=0.06)
