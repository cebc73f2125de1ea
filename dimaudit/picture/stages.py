"""The way from the library's entities to lines and areas, with this tool's own letters and dashes."""

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from ezdxf.addons.drawing.backend import BkPath2d, BkPoints2d, ImageData
from ezdxf.addons.drawing.config import Configuration
from ezdxf.addons.drawing.pipeline import BackendStage2d, ClippingStage2d, RenderPipeline2d, RenderStage2d
from ezdxf.addons.drawing.properties import Properties
from ezdxf.math import Matrix44, Vec2

from dimaudit.picture.collector import Collector
from dimaudit.picture.lettering import Lettering

MOST_DASHES = 2000
"""A line with more dashes than this looks like a whole one and is drawn as one."""
DOT = 1e-3
"""A dot of a line pattern, as a share of the pattern: with round ends it is as wide as the line."""
FLATNESS = 1e-3
"""How far a dashed curve may stray from the true one, as a share of its size."""


class Stages(RenderPipeline2d):
    """Clipping, then dashes, then the collector."""

    def __init__(self, collector: Collector, pattern_on_paper: bool) -> None:
        """`pattern_on_paper`: line patterns are as long in every viewport, whatever its scale."""
        self._collector = collector
        self._pattern_on_paper = pattern_on_paper
        super().__init__(collector)
        self.text_engine = Lettering()

    def build_render_pipeline(self) -> RenderStage2d:
        end = BackendStage2d(self.backend, converter=self.get_backend_properties)
        dashes = Dashes(lambda: 1.0 if self._pattern_on_paper else self.current_vp_scale, end)
        return ClippingStage2d(self.config, self.clipping_portal, next_stage=dashes)

    def draw_text(
        self, text: str, transform: Matrix44, properties: Properties, cap_height: float, dxftype: str = "TEXT"
    ) -> None:
        up = transform.transform_direction((0, cap_height, 0)).magnitude
        self._collector.letter_heights.append(up * (self.current_vp_scale if self.clipping_portal.is_active else 1.0))
        self._collector.lettering = True
        try:
            super().draw_text(text.replace("\n", " "), transform, properties, cap_height, dxftype)
        finally:
            self._collector.lettering = False


class Dashes(RenderStage2d):
    """Line patterns.

    A line begins and ends with a dash (ISO 128-2; clause from memory): what is left over of its length goes to the two
    outer dashes. A line shorter than its pattern is whole.
    """

    def __init__(self, scale: Callable[[], float], next_stage: RenderStage2d) -> None:
        self._scale = scale
        self.next_stage = next_stage

    def set_config(self, config: Configuration) -> None:
        pass

    def _pattern(self, properties: Properties) -> list[float]:
        """Dash, gap, dash, gap, …; empty for a whole line."""
        scale = abs(properties.linetype_scale) * self._scale()
        steps = [abs(step) * scale for step in properties.linetype_pattern]
        total = sum(steps)
        if len(steps) < 2 or not 0 < total < math.inf:
            return []
        return [max(step, total * DOT) for step in steps[: len(steps) // 2 * 2]]

    def draw_point(self, pos: Vec2, properties: Properties) -> None:
        self.next_stage.draw_point(pos, properties)

    def draw_line(self, start: Vec2, end: Vec2, properties: Properties) -> None:
        pattern = self._pattern(properties)
        if pattern and (dashes := list(dashed((start, end), pattern))):
            self.next_stage.draw_solid_lines(dashes, properties)
        else:
            self.next_stage.draw_line(start, end, properties)

    def draw_solid_lines(self, lines: list[tuple[Vec2, Vec2]], properties: Properties) -> None:
        self.next_stage.draw_solid_lines(lines, properties)

    def draw_path(self, path: BkPath2d, properties: Properties) -> None:
        pattern = self._pattern(properties)
        if not pattern or not len(path):
            self.next_stage.draw_path(path, properties)
            return
        for part in path.sub_paths():
            low, high = part.extents()
            flat = (high - low).magnitude * FLATNESS
            dashes = list(dashed(list(part.flattening(flat)), pattern)) if flat > 0 else []
            if dashes:
                self.next_stage.draw_solid_lines(dashes, properties)
            else:
                self.next_stage.draw_path(part, properties)

    def draw_filled_paths(self, paths: list[BkPath2d], properties: Properties) -> None:
        self.next_stage.draw_filled_paths(paths, properties)

    def draw_filled_polygon(self, points: BkPoints2d, properties: Properties) -> None:
        self.next_stage.draw_filled_polygon(points, properties)

    def draw_image(self, image_data: ImageData, properties: Properties) -> None:
        self.next_stage.draw_image(image_data, properties)


def dashed(points: Sequence[Vec2], pattern: Sequence[float]) -> Iterator[tuple[Vec2, Vec2]]:
    """The visible stretches of a line through the points; none where it is better drawn whole."""
    total = sum(pattern)
    length = math.fsum(a.distance(b) for a, b in pairwise(points))
    if not total <= length <= total * MOST_DASHES:
        return
    rounds = math.floor(length / total)
    outer = (pattern[0] + length - rounds * total) / 2
    steps = [outer, *pattern[1:], *(list(pattern) * (rounds - 1)), outer]
    k, left = 0, steps[0]
    for a, b in pairwise(points):
        span = a.distance(b)
        done = 0.0
        while span - done > left and k + 1 < len(steps):
            if k % 2 == 0:
                yield a.lerp(b, done / span), a.lerp(b, (done + left) / span)
            done += left
            k += 1
            left = steps[k]
        if k % 2 == 0 and span > done:
            yield a.lerp(b, done / span), b
        left -= span - done
