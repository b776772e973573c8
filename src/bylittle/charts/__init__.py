"""From core series to one chart definition that serves the screen and the printed page.

`single_case`, `multiple_probe`, `chances` and `belief` each give a `Chart`: its title, its description,
the SVG for the medium it was drawn for, and the table that stands beside it.
"""

from __future__ import annotations

from bylittle.charts.chart import Chart, Table
from bylittle.charts.media import PHONE, PRINT, SCREEN, Medium

__all__ = ["PHONE", "PRINT", "SCREEN", "Chart", "Medium", "Table"]
