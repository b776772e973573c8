"""The children of Tern Bay, one module each. All are invented."""

from __future__ import annotations

from bylittle.demo.children.ada import ADA
from bylittle.demo.children.bram import BRAM
from bylittle.demo.children.juno import JUNO
from bylittle.demo.children.noor import NOOR
from bylittle.demo.children.otto import OTTO
from bylittle.demo.children.pip import PIP
from bylittle.demo.children.sol import SOL
from bylittle.demo.children.teo import TEO
from bylittle.demo.children.wren import WREN

SKETCHES = (WREN, OTTO, JUNO, SOL, PIP, ADA, BRAM, NOOR, TEO)
