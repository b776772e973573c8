"""From a marked page to a photograph, with every defect by name and strength.

Page and photograph are float arrays (rows, columns, 3), 0 black to 1 white. A defect is a field of `Shot`;
all are off by default.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.photos.backgrounds import NAMES, background
from benchmarks.photos.copier import photocopy

Picture = NDArray[np.float32]
Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Shot:
    """One photograph: sizes in pixels, millimetres where said, angles in degrees, shares 0..1."""

    height: int = 3200
    width: int = 2400
    turn: float = 0.0
    fills: float = 0.9  # share of the photograph's shorter fit that the page takes
    tilt: float = 0.0  # perspective: relative shift of the corners
    shift: tuple[float, float] = (0.0, 0.0)  # page off the middle, share of the page
    curl_mm: float = 0.0
    fold: float = 0.0  # depth of a fold's shade
    crumple_mm: float = 0.0
    gradient: float = 0.0  # light lost at the dark side
    shadow: float = 0.0  # light lost in a cast shadow
    shadow_soft: float = 30.0  # pixels
    glare: float = 0.0  # strength of a bright spot
    glare_size: float = 0.12
    blur: float = 0.6  # sigma in pixels
    motion: float = 0.0  # pixels
    light: float = 0.9  # paper white
    black: float = 0.06  # haze: light of black ink
    noise: float = 0.008
    tint: tuple[float, float, float] = (1.0, 1.0, 1.0)
    quality: int = 88
    copies: int = 0
    copy_harsh: float = 0.0
    copy_tone: str = "steep"
    streaks: int = 0
    thumb: bool = False
    stain: float = 0.0
    moire: float = 0.0
    roll: float = 0.0  # degrees of arc of a page that rolls up like a cylinder
    barrel: float = 0.0  # share by which a wide lens pulls the corners in
    cut: float = 0.0  # share of the page's width that the picture cuts off at one corner
    lamp: float = 0.0  # how much yellower and darker the light of a second lamp makes one side
    sharpened: float = 0.0  # by the phone
    smoothed: float = 0.0  # by the phone's noise removal
    megapixels: float = 0.0  # made smaller afterwards, as messengers do; 0 leaves it
    table: str = ""  # of `backgrounds.NAMES`; any of the first three where empty


def photograph(page: Picture, scale: float, shot: Shot, rng: Generator) -> bytes:
    """The JPEG bytes of `page` (with `scale` pixels a millimetre) taken as `shot`."""
    for _ in range(shot.copies):
        page = photocopy(page, scale, shot.copy_harsh, rng, shot.copy_tone, shot.streaks)
    if shot.stain:
        page = _stain(page, shot.stain, rng)
    picture = _project(page, scale, shot, rng)
    picture = _light(picture, shot, rng)
    if shot.thumb:
        picture = _thumb(picture, rng)
    pixels = _phone(_lens(cv2.convertScaleAbs(picture, alpha=255.0), shot, rng), shot)
    done, data = cv2.imencode(".jpg", pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
    assert done
    return bytes(data)


def _stain(page: Picture, strength: float, rng: Generator) -> Picture:
    """A coffee ring and a wet patch."""
    page = page.copy()
    height, width = page.shape[:2]
    layer = np.zeros((height, width), np.float32)
    centre = (int(rng.uniform(0.2, 0.8) * width), int(rng.uniform(0.2, 0.8) * height))
    radius = int(rng.uniform(0.08, 0.2) * width)
    cv2.circle(layer, centre, radius, 0.35, -1, cv2.LINE_AA)
    cv2.circle(layer, centre, radius, 1.0, max(2, width // 250), cv2.LINE_AA)
    layer = cv2.GaussianBlur(layer, (0, 0), width / 400)
    return page * (1 - strength * layer[..., None] * np.array([0.25, 0.4, 0.6], np.float32))


def _project(page: Picture, scale: float, shot: Shot, rng: Generator) -> Picture:
    """The page bent, laid on a table and seen by the camera."""
    page_h, page_w = page.shape[:2]
    corners = _corners(page_w, page_h, shot, rng)
    flat = np.array([[0, 0], [page_w, 0], [page_w, page_h], [0, page_h]], np.float32)
    back = cv2.getPerspectiveTransform(corners.astype(np.float32), flat)
    rows, columns = np.meshgrid(_coarse(shot.height), _coarse(shot.width), indexing="ij")
    rows, columns = _through_the_lens(rows, columns, shot)
    depth = back[2, 0] * columns + back[2, 1] * rows + back[2, 2]
    u = (back[0, 0] * columns + back[0, 1] * rows + back[0, 2]) / depth
    v = (back[1, 0] * columns + back[1, 1] * rows + back[1, 2]) / depth
    shade = np.ones_like(u)
    if shot.curl_mm:
        u, v, shade = _curl(u, v, page_w, page_h, shot.curl_mm * scale, rng)
    if shot.roll:
        u, v, shade = _roll(u, v, page_w, page_h, shade, shot.roll, rng)
    if shot.crumple_mm:
        u, v, shade = _crumple(u, v, shade, shot, scale, rng)
    smaller = np.sqrt(abs(cv2.contourArea(corners.astype(np.float32))) / (page_w * page_h))
    soft = cv2.GaussianBlur(page, (0, 0), max(0.3, 0.5 * (1 / smaller - 0.6)))
    u, v, shade = (_enlarged(field, shot) for field in (u, v, shade))
    if shot.fold:
        shade = shade * _fold(v / page_h, shot.fold, rng)
    seen = cv2.remap(soft, u, v, cv2.INTER_LINEAR, borderValue=(-1, -1, -1))
    inside = seen[..., 0] >= 0
    paper = np.clip(seen, 0, 1) * shade[..., None]
    table = shot.table or str(rng.choice(NAMES[:3]))
    return np.where(inside[..., None], paper, background(table, shot.height, shot.width, rng))


_STEP = 8  # smooth fields are worked out on every eighth pixel and enlarged


def _coarse(length: int) -> Picture:
    """Middles of the coarse cells, in the pixels of the photograph."""
    cells = -(-length // _STEP)
    return (np.arange(cells, dtype=np.float32) + 0.5) * (length / cells) - 0.5


def _enlarged(field: NDArray[np.float64] | Picture, shot: Shot) -> Picture:
    size = (shot.width, shot.height)
    return np.asarray(cv2.resize(field.astype(np.float32), size, interpolation=cv2.INTER_LINEAR), np.float32)


def _corners(page_w: int, page_h: int, shot: Shot, rng: Generator) -> NDArray[np.float64]:
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], float) * [page_w / 2, page_h / 2]
    angle = np.deg2rad(shot.turn)
    turned = half @ np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    size = np.abs(turned).max(0) * 2
    zoom = shot.fills * min(shot.width / size[0], shot.height / size[1])
    turned = turned * zoom
    reach = shot.tilt * zoom * page_w
    turned += rng.uniform(-reach, reach, (4, 2))
    if shot.cut:
        turned *= 1 + shot.cut
        corner = turned[rng.integers(4)]
        turned += np.sign(corner) * shot.cut * page_w * zoom
    middle = np.array([shot.width / 2, shot.height / 2]) + np.array(shot.shift) * [
        page_w * zoom,
        page_h * zoom,
    ]
    return turned + middle


def _through_the_lens(rows: Picture, columns: Picture, shot: Shot) -> tuple[Picture, Picture]:
    """Where a straight-seeing lens would have put each pixel (radial distortion of the first order)."""
    if not shot.barrel:
        return rows, columns
    y, x = rows - shot.height / 2, columns - shot.width / 2
    stretch = 1 + shot.barrel * (x**2 + y**2) / (shot.height**2 + shot.width**2) * 4
    return y * stretch + shot.height / 2, x * stretch + shot.width / 2


def _roll(
    u: Picture, v: Picture, width: int, height: int, shade: Picture, degrees: float, rng: Generator
) -> tuple[Picture, Picture, Picture]:
    """A page bent like a part of a cylinder, its edges towards the camera, seen from a page's length away."""
    upright = rng.random() < 0.5
    span, far = (width, 1.6 * height) if upright else (height, 1.6 * height)
    x, y = (u - width / 2, v - height / 2) if upright else (v - height / 2, u - width / 2)
    radius = span / np.deg2rad(degrees)
    lift = radius * (1 - np.sqrt(np.clip(1 - (x / radius) ** 2, 0.05, 1)))
    x, y = x * (1 - lift / far), y * (1 - lift / far)
    tilt = np.arcsin(np.clip(x / radius, -0.98, 0.98))
    x, shade = radius * tilt, shade * (1 - 0.5 * rng.choice([-1.0, 1.0]) * np.sin(tilt) * 0.6)
    x, y = (x, y) if upright else (y, x)
    return x + width / 2, y + height / 2, np.clip(shade, 0.3, 1.2)


def _curl(
    u: Picture, v: Picture, width: int, height: int, amount: float, rng: Generator
) -> tuple[Picture, Picture, Picture]:
    angle = rng.choice([0.0, np.pi / 2]) + rng.normal(0, 0.3)
    span = width if abs(np.cos(angle)) > 0.7 else height
    along = ((u - width / 2) * np.cos(angle) + (v - height / 2) * np.sin(angle)) / span
    phase, waves = rng.uniform(0, 2 * np.pi), rng.uniform(0.4, 1.1)
    wave = np.sin(2 * np.pi * waves * along + phase)
    slope = np.cos(2 * np.pi * waves * along + phase)
    push = rng.uniform(0, 2 * np.pi)
    u = u + amount * wave * np.cos(push)
    v = v + amount * wave * np.sin(push)
    return u, v, 1 - 0.10 * min(1.0, amount / 50) * (1 + slope)


def _crumple(
    u: Picture, v: Picture, shade: Picture, shot: Shot, scale: float, rng: Generator
) -> tuple[Picture, Picture, Picture]:
    size = u.shape[::-1]
    fields = [
        cv2.resize(rng.normal(0, 1, (9, 7)).astype(np.float32), size, interpolation=cv2.INTER_CUBIC)
        for _ in range(3)
    ]
    amount = shot.crumple_mm * scale
    return u + amount * fields[0], v + amount * fields[1], shade * np.clip(1 + 0.05 * fields[2], 0.8, 1.1)


def _fold(v: Picture, depth: float, rng: Generator) -> Picture:
    shade = np.ones_like(v)
    for place in (1 / 3, 2 / 3) if rng.random() < 0.5 else (0.5,):
        away = (v - place) * 300
        shade *= (
            1 - depth * np.exp(-((away / 0.7) ** 2)) - 0.25 * depth * np.exp(-np.abs(away) / 12) * (away > 0)
        )
    return shade


def _light(picture: Picture, shot: Shot, rng: Generator) -> Picture:
    height, width = picture.shape[:2]
    y, x = np.meshgrid(
        np.linspace(-0.5, 0.5, height, dtype=np.float32),
        np.linspace(-0.5, 0.5, width, dtype=np.float32),
        indexing="ij",
        sparse=True,
    )
    angle = rng.uniform(0, 2 * np.pi)
    across = x * np.cos(angle) + y * np.sin(angle)
    light = 1 - shot.gradient * np.clip(across + 0.5, 0, 1.2)
    if shot.shadow:
        edge = rng.uniform(-0.25, 0.25)
        turn = rng.uniform(0, 2 * np.pi)
        away = (x * np.cos(turn) + y * np.sin(turn) - edge + 0.05 * np.sin(6 * x + 5 * y + turn)) * width
        light *= 1 - shot.shadow / (1 + np.exp(-np.clip(away / max(shot.shadow_soft / 4, 0.5), -60, 60)))
    lit = np.float32(shot.light - shot.black) * picture + np.float32(shot.black)
    lit *= light[..., None].astype(np.float32)
    lit *= np.array(shot.tint, np.float32)
    if shot.lamp:
        side = np.clip(0.5 + x * np.cos(angle + 1) + y * np.sin(angle + 1), 0, 1)[..., None]
        lit *= 1 - shot.lamp * side * np.array([0.2, 0.5, 1.0], np.float32)
    if shot.glare:
        cx, cy = rng.uniform(-0.35, 0.35, 2)
        size = shot.glare_size * rng.uniform(0.6, 1.4)
        spot = np.exp(-((((x - cx) / size) ** 2 + ((y - cy) / (size * rng.uniform(0.4, 1.0))) ** 2) ** 1.3))
        lit += (np.float32(shot.glare) * spot[..., None]).astype(np.float32)
    if shot.moire:
        lit *= (1 + shot.moire * np.sin(x * width * 0.9 + y * height * 0.35))[..., None].astype(np.float32)
    return np.clip(lit, 0, 1, out=lit)


def _thumb(picture: Picture, rng: Generator) -> Picture:
    """A finger that holds the page from one side."""
    height, width = picture.shape[:2]
    side = rng.integers(2)
    centre = (0 if side else width, int(rng.uniform(0.35, 0.75) * height))
    reach = (int(rng.uniform(0.18, 0.32) * width), int(0.05 * height))
    layer = np.zeros((height, width), np.float32)
    cv2.ellipse(layer, centre, reach, rng.uniform(-12, 12), 0, 360, 1.0, -1, cv2.LINE_AA)
    layer = cv2.GaussianBlur(layer, (0, 0), 3)[..., None]
    skin = np.array([[0.80, 0.60, 0.50], [0.45, 0.30, 0.22], [0.62, 0.44, 0.34]])[rng.integers(3)]
    return (picture * (1 - layer) + layer * skin.astype(np.float32) * 0.9).astype(np.float32)


def _lens(pixels: Pixels, shot: Shot, rng: Generator) -> Pixels:
    if shot.blur > 0.25:
        pixels = cv2.GaussianBlur(pixels, (0, 0), shot.blur)
    if shot.motion > 1:
        size = int(shot.motion) | 1
        kernel = np.zeros((size, size), np.float32)
        angle = rng.uniform(0, np.pi)
        arm = np.array([np.cos(angle), np.sin(angle)]) * size / 2
        mid = np.array([size // 2, size // 2])
        cv2.line(kernel, tuple(np.int32(mid - arm)), tuple(np.int32(mid + arm)), 1.0, 1, cv2.LINE_AA)
        pixels = cv2.filter2D(pixels, -1, kernel / kernel.sum())
    return _noisy(pixels, shot.noise, rng) if shot.noise else pixels


def _phone(pixels: Pixels, shot: Shot) -> Pixels:
    """What the phone does before it saves: noise removal, sharpening, a smaller size."""
    if shot.smoothed:
        pixels = np.asarray(cv2.bilateralFilter(pixels, 7, 60 * shot.smoothed, 3), np.uint8)
    if shot.sharpened:
        soft = cv2.GaussianBlur(pixels, (0, 0), 2)
        pixels = np.asarray(cv2.addWeighted(pixels, 1 + shot.sharpened, soft, -shot.sharpened, 0), np.uint8)
    ratio = np.sqrt(shot.megapixels * 1e6 / (shot.width * shot.height)) if shot.megapixels else 1.0
    if ratio < 1:
        pixels = np.asarray(cv2.resize(pixels, None, fx=ratio, fy=ratio, interpolation=cv2.INTER_AREA))
    return pixels


def _noisy(pixels: Pixels, noise: float, rng: Generator) -> Pixels:
    """Sensor grain, one tile of it laid over the picture."""
    height, width = pixels.shape[:2]
    tile = (rng.standard_normal((700, 900, 3), dtype=np.float32) * noise * 255 * 0.8).astype(np.int16)
    grain = np.tile(tile, (-(-height // 700), -(-width // 900), 1))[:height, :width]
    return np.clip(pixels.astype(np.int16) + grain, 0, 255).astype(np.uint8)
