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
    thumb: bool = False
    stain: float = 0.0
    cut_corners: int = 0
    moire: float = 0.0


def photograph(page: Picture, scale: float, shot: Shot, rng: Generator) -> bytes:
    """The JPEG bytes of `page` (with `scale` pixels a millimetre) taken as `shot`."""
    for _ in range(shot.copies):
        page = _photocopy(page, scale, shot.copy_harsh, rng)
    if shot.stain:
        page = _stain(page, shot.stain, rng)
    picture = _project(page, scale, shot, rng)
    picture = _light(picture, shot, rng)
    if shot.thumb:
        picture = _thumb(picture, rng)
    pixels = _lens(cv2.convertScaleAbs(picture, alpha=255.0), shot, rng)
    done, data = cv2.imencode(".jpg", pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
    assert done
    return bytes(data)


def _photocopy(page: Picture, scale: float, harsh: float, rng: Generator) -> Picture:
    """One generation of a black-and-white copier: blur, steep contrast, specks, a small skew."""
    grey = cv2.cvtColor(page, cv2.COLOR_RGB2GRAY)
    height, width = grey.shape
    skew = cv2.getRotationMatrix2D((width / 2, height / 2), rng.normal(0, 0.4), rng.uniform(0.985, 1.005))
    skew[:, 2] += rng.normal(0, 0.8 * scale, 2)
    grey = cv2.warpAffine(grey, skew, (width, height), borderValue=1.0)
    grey = cv2.GaussianBlur(grey, (0, 0), rng.uniform(0.06, 0.12) * scale)
    steep = 4 + 14 * harsh
    grey = 1 / (1 + np.exp(-steep * (grey - rng.uniform(0.5, 0.62))))
    grey = np.clip((grey - 0.06) / 0.9, 0.0, 1.0)
    grey = 0.08 + 0.92 * grey
    specks = rng.random(grey.shape, dtype=np.float32) < 2e-5 * (1 + 4 * harsh)
    specks = cv2.dilate(specks.astype(np.uint8), np.ones((2, 2), np.uint8)) > 0
    grey[specks] *= 0.3
    grey *= 1 - rng.uniform(0, 0.05)
    return np.repeat(grey.astype(np.float32)[..., None], 3, 2)


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
    depth = back[2, 0] * columns + back[2, 1] * rows + back[2, 2]
    u = (back[0, 0] * columns + back[0, 1] * rows + back[0, 2]) / depth
    v = (back[1, 0] * columns + back[1, 1] * rows + back[1, 2]) / depth
    shade = np.ones_like(u)
    if shot.curl_mm:
        u, v, shade = _curl(u, v, page_w, page_h, shot.curl_mm * scale, rng)
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
    return np.where(inside[..., None], paper, _table(shot, rng))


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
    middle = np.array([shot.width / 2, shot.height / 2]) + np.array(shot.shift) * [
        page_w * zoom,
        page_h * zoom,
    ]
    return turned + middle


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


def _table(shot: Shot, rng: Generator) -> Picture:
    kind = int(rng.integers(3))
    base = rng.uniform(0.15, 0.75, 3).astype(np.float32)
    if kind == 0:
        return np.broadcast_to(base, (shot.height, shot.width, 3)).astype(np.float32)
    small = rng.normal(0, 1, (40, 6 if kind == 1 else 40)).astype(np.float32)
    grain = cv2.resize(small, (shot.width, shot.height), interpolation=cv2.INTER_CUBIC)
    return np.clip(base + 0.08 * grain[..., None], 0, 1).astype(np.float32)


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


def _noisy(pixels: Pixels, noise: float, rng: Generator) -> Pixels:
    """Sensor grain, one tile of it laid over the picture."""
    height, width = pixels.shape[:2]
    tile = (rng.standard_normal((700, 900, 3), dtype=np.float32) * noise * 255 * 0.8).astype(np.int16)
    grain = np.tile(tile, (-(-height // 700), -(-width // 900), 1))[:height, :width]
    return np.clip(pixels.astype(np.int16) + grain, 0, 255).astype(np.uint8)
