"""The library's way of drawing a layout, made safe: one bad entity never ends the others, and no file is opened."""

import math
import re
from collections.abc import Callable, Iterable, Sequence

from ezdxf.addons import acadctb
from ezdxf.addons.drawing.config import Configuration, ImagePolicy
from ezdxf.addons.drawing.frontend import UniversalFrontend, is_complex_mtext, is_spatial_text
from ezdxf.addons.drawing.gfxproxy import DXFGraphicProxy
from ezdxf.addons.drawing.properties import Filling, Properties, RenderContext
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.entities.mtext import MText
from ezdxf.entities.pattern import PatternLine
from ezdxf.entities.polygon import DXFPolygon
from ezdxf.entities.textstyle import Textstyle
from ezdxf.entities.tolerance import Tolerance
from ezdxf.entities.viewport import Viewport
from ezdxf.fonts.font_face import FontFace
from ezdxf.lldxf.const import VSF_TURN_VIEWPORT_OFF
from ezdxf.math import UCS, AnyVec, BoundingBox2d, Matrix44, Vec2, Vec3
from ezdxf.path import Path, from_vertices
from ezdxf.protocols import SupportsVirtualEntities, virtual_entities
from ezdxf.proxygraphic import ProxyGraphic
from ezdxf.render import hatching

from dimaudit.picture.collector import Collector, TooMuch, clean
from dimaudit.picture.lettering import draw_mtext, face_of
from dimaudit.picture.stages import Stages
from dimaudit.text.markup import plain_text

DEEPEST = 24
"""Blocks within blocks; a drawing nests a handful, a hostile file without end."""
MOST_VISITS = 1_000_000
"""Entities looked at for one picture, those within blocks counted each time they are shown."""
MOST_COPIES = 200_000
"""Copies in one array of a block reference; as many as the audit expands in a layout."""
MOST_HATCH_LINES = 4000
MOST_HATCH_DASHES = 100_000
"""Lines across one hatched area, and dashes in it; one with more is filled."""
HAIR = 5e-4
"""A hair, as a share of the distance of hatch lines."""
DENSE = "60"
"""How opaque that filling is, of ff: from afar, dense lines look grey."""
DIMENSIONS = frozenset({"DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION"})
"""They look like the block that comes with each, and like nothing without one."""


CELL = 2
"""Height of a feature control frame in heights of its letters (common practice, no source)."""


def frame_cells(content: str) -> list[list[str]]:
    """The cells of a feature control frame, row by row; those without a word are left out."""
    rows = plain_text(_NEXT_CELL.sub(_BETWEEN, content)).split("\n")
    cells = [[cell.strip() for cell in row.split(_BETWEEN) if cell.strip()] for row in rows]
    return [row for row in cells if row]


def letter_height(entity: DXFEntity) -> float:
    """DIMTXT times DIMSCALE of the dimension style that the entity names."""
    doc, name = entity.doc, str(entity.dxf.get("dimstyle", "Standard"))
    if doc is None or not doc.dimstyles.has_entry(name):
        return 1.0
    dxf = doc.dimstyles.get(name).dxf
    return abs(float(dxf.get("dimtxt", 0.0)) * (float(dxf.get("dimscale", 1.0)) or 1.0)) or 1.0


_NEXT_CELL = re.compile("%%v", re.IGNORECASE)
_BETWEEN = "\ue000"


def _without_block(entity: DXFGraphic) -> bool:
    name = entity.dxf.get("geometry")
    block = entity.doc.blocks.get(name) if name and entity.doc is not None else None
    return block is None or not len(block)


def _baselines(lines: Sequence[PatternLine]) -> list[hatching.HatchBaseLine]:
    """Where the lines of a pattern run, moved by a hair, since one that meets a corner is not cut rightly there."""
    hair = sum(line.offset.magnitude for line in lines) / len(lines) * HAIR
    return [
        hatching.HatchBaseLine(
            line.base_point + Vec2(hair, hair * 0.7), Vec2.from_deg_angle(line.angle), line.offset,
            line.dash_length_items, 0.0,
        )
        for line in lines
    ]  # fmt: skip


def _between(a: str | None, b: str | None) -> str:
    """The colour midway between two: what stands for an area that runs from one into the other."""
    if not a or not b:
        return a or b or ""
    return "#" + "".join(f"{(int(a[k : k + 2], 16) + int(b[k : k + 2], 16)) // 2:02x}" for k in (1, 3, 5))


class Context(RenderContext):
    """Looks by layer, block and entity. No plot style file is opened, whatever the drawing names."""

    def __init__(self, doc: Document) -> None:
        super().__init__(doc, ctb=acadctb.new_ctb(), export_mode=True)
        self.document_dir = None
        self.frozen = {str(layer.dxf.name).casefold() for layer in doc.layers if layer.is_frozen()}

        self.pattern_on_paper = bool(doc.header.get("$PSLTSCALE", 1))
        """Whether line patterns are as long in every viewport, whatever its scale (DXF reference, header)."""

    def add_text_style(self, text_style: Textstyle) -> None:
        self.fonts[str(text_style.dxf.name).casefold()] = face_of(str(text_style.dxf.get("font", "")))

    def resolve_font(self, entity: DXFGraphic) -> FontFace | None:
        return self.fonts.get(str(entity.dxf.get("style", "Standard")).casefold())

    def from_viewport(self, vp: Viewport) -> "Context":
        context = super().from_viewport(vp)
        assert isinstance(context, Context)
        context.frozen = self.frozen | {name.casefold() for name in vp.frozen_layers}
        return context


class Artist(UniversalFrontend):
    """Draws a layout entity by entity."""

    def __init__(self, context: Context, collector: Collector, size: float) -> None:
        """`size` is a guess at how large the layout is, in its own units: for points and flattened curves."""
        config = Configuration(
            pdsize=context.pdsize if context.pdsize > 0 else size / 100,  # type: ignore[arg-type]
            image_policy=ImagePolicy.RECT,
            max_flattening_distance=size / 10_000,
            min_hatch_line_distance=0.0,
        )
        self._stages = Stages(collector, context.pattern_on_paper)
        super().__init__(context, self._stages, config)
        self.left_out: dict[tuple[str, str], None] = {}
        """Handle and reason; a dictionary keeps the order, and each once."""
        self._collector = collector
        self._size = size
        self._visits = 0
        self._blocks: list[str] = []

    def draw_entities(
        self, entities: Iterable[DXFGraphic], *, filter_func: Callable[[DXFGraphic], bool] | None = None
    ) -> None:
        viewports: list[Viewport] = []
        for entity in entities:
            self._visit()
            if filter_func is not None and not filter_func(entity):
                continue
            if isinstance(entity, Viewport):
                viewports.append(entity)
            else:
                self._guarded(entity, self._draw)
        for viewport in sorted(viewports, key=lambda v: int(v.dxf.get("status", 1))):
            self._guarded(viewport, self._look_through)

    def draw_entities_callback(self, ctx: RenderContext, entities: Iterable[DXFGraphic]) -> None:
        """Through a viewport, whose layers hold for what blocks bring, too."""
        outside, self.ctx = self.ctx, ctx
        try:
            self.draw_entities(entities)
        finally:
            self.ctx = outside

    def _visit(self, count: int = 1) -> None:
        self._visits += count
        if self._visits > MOST_VISITS:
            raise TooMuch

    def _guarded(self, entity: DXFGraphic, draw: Callable[[DXFGraphic], None]) -> None:
        """Draws; what fails is left out, and everything stands as it stood before."""
        context, clips, blocks = self.ctx, self._stages.clipping_portal, len(self._blocks)
        depth, clipped, states = self._collector.depth, clips.stack_depth, len(context._saved_states)
        try:
            draw(entity)
        except (TooMuch, MemoryError):
            raise
        except Exception as error:  # of any kind: the library meets whatever a file holds
            self._leave_out(entity, f"it cannot be drawn: {' '.join(str(error).split()) or type(error).__name__}")
        finally:
            self._collector.leave(depth)
            del self._blocks[blocks:]
            while clips.stack_depth > clipped:
                clips.pop()
            while len(context._saved_states) > states:
                context.pop_state()

    def _draw(self, entity: DXFGraphic) -> None:
        shown = entity if isinstance(entity, DXFGraphic) else DXFGraphicProxy(entity)
        properties = self.ctx.resolve_all(shown)
        if not properties.is_visible:
            return
        if isinstance(shown, Tolerance):
            self.draw_frame(shown, properties)
            return
        if isinstance(shown, Insert) and str(properties.layer).casefold() in self._context.frozen:
            return
        if shown.dxftype() in DIMENSIONS and _without_block(shown):
            self._leave_out(shown, "it comes without the block that shows it")
        else:
            self.draw_entity(shown, properties)

    @property
    def _context(self) -> Context:
        assert isinstance(self.ctx, Context)
        return self.ctx

    def _leave_out(self, entity: DXFEntity, why: str) -> None:
        kind = entity.dxftype()
        if self._collector.depth:
            outer = self._collector.current
            itself = str(entity.dxf.get("handle") or "") == outer.handle
            handle, why = outer.handle, f"{kind}: {why}" if itself else f"{outer.kind}: {kind} in it: {why}"
        else:
            handle, why = str(entity.dxf.get("handle") or ""), f"{kind}: {why}"
        self.left_out[handle, clean(why)] = None

    def skip_entity(self, entity: DXFEntity, msg: str) -> None:
        if msg != "invisible":
            self._leave_out(entity, "this kind is not drawn" if msg == "unsupported" else msg)

    def log_message(self, message: str) -> None:
        pass

    def _look_through(self, entity: DXFGraphic) -> None:
        """What a viewport shows of the model. The sheet's own (id 1) is none; status 0 and bit 131072 of group 90 turn
        one off (DXF reference, VIEWPORT); on a frozen layer it shows nothing (from memory)."""
        assert isinstance(entity, Viewport)
        dxf = entity.dxf
        off = dxf.get("status", 1) == 0 or dxf.get("flags", 0) & VSF_TURN_VIEWPORT_OFF
        if dxf.get("id", 2) == 1 or off or str(dxf.layer).casefold() in self._context.frozen:
            return
        if not entity.is_top_view:
            self._leave_out(entity, "it does not look at the model from above")
            return
        self._stages.draw_viewport(entity, self.ctx)

    def draw_line_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        if entity.dxftype() == "LINE":
            super().draw_line_entity(entity, properties)
            return
        start, along, both = Vec2(entity.dxf.start), Vec2(entity.dxf.unit_vector), entity.dxftype() == "XLINE"
        if self._stages.clipping_portal.is_active:
            far = along * self._size * 1000
            self._stages.draw_line(start - far if both else start, start + far, properties)
        else:
            self._collector.draw_endless(start, along, both, self._stages.get_backend_properties(properties))

    def draw_mtext_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        assert isinstance(entity, MText)
        if is_spatial_text(Vec3(entity.dxf.extrusion)):
            self.skip_entity(entity, "it stands aslant to the sheet")
        elif is_complex_mtext(entity) or entity.dxf.get("bg_fill", 0):
            draw_mtext(self.ctx, self._stages, entity, properties)
        else:
            self.draw_simple_mtext(entity, properties)

    def draw_frame(self, entity: Tolerance, properties: Properties) -> None:
        """A feature control frame: rows of cells. Its place is the middle of its left end (as met in files)."""
        self._stages.enter_entity(entity, properties)
        height = letter_height(entity)
        size, along = CELL * height, Vec3(entity.dxf.get("x_axis_vector", (1, 0, 0))).normalize()
        ucs = UCS(Vec3(entity.dxf.insert), ux=along, uz=Vec3(entity.dxf.get("extrusion", (0, 0, 1))))
        face = properties.font or FontFace()
        for k, cells in enumerate(frame_cells(str(entity.dxf.get("content", "")))):
            low, left = -(k + 0.5) * size, 0.0
            for text in cells:
                wide = self._stages.text_engine.get_text_line_width(text, face, height)
                right = left + max(wide + height, size)
                corners = [(left, low), (right, low), (right, low + size), (left, low + size)]
                self._stages.draw_path(from_vertices(ucs.points_to_wcs(Vec3.generate(corners)), close=True), properties)
                place = Matrix44.translate((left + right - wide) / 2, low + (size - height) / 2, 0) @ ucs.matrix
                self._stages.draw_text(text, place, properties, height)
                left = right
        self._stages.exit_entity(entity)

    def draw_image_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        super().draw_image_entity(entity, properties)
        self._leave_out(entity, "a picture from another file: only its frame is drawn")

    def draw_ole2frame_entity(self, entity: DXFGraphic, properties: Properties) -> None:  # noqa: ARG002
        self._leave_out(entity, "an object of another program")

    def draw_hatch_entity(
        self, entity: DXFGraphic, properties: Properties, *, loops: list[Path] | None = None
    ) -> None:
        filling = properties.filling
        if filling is not None and filling.type == Filling.GRADIENT:
            properties.color = _between(filling.gradient_color1, filling.gradient_color2) or properties.color
        super().draw_hatch_entity(entity, properties, loops=loops)

    def draw_hatch_pattern(self, polygon: DXFPolygon, paths: list[Path], properties: Properties) -> None:
        """Lines of a pattern; raises DenseHatchingLinesError where they are too many to be told apart."""
        if polygon.pattern is None or not polygon.pattern.lines or not paths:
            return
        baselines = _baselines(polygon.pattern.lines)
        corners = BoundingBox2d(v for path in paths for v in path.control_vertices())
        across = corners.size.magnitude
        for baseline in baselines:
            lines = across / abs(baseline.normal_distance) if baseline.normal_distance else math.inf
            dashes = across / (sum(map(abs, baseline.line_pattern)) or across or 1)
            if lines > MOST_HATCH_LINES or lines * dashes > MOST_HATCH_DASHES:
                properties.color = f"{properties.color[:7]}{DENSE}"
                raise hatching.DenseHatchingLinesError
        properties.linetype_pattern = ()
        ocs, height = polygon.ocs(), polygon.dxf.elevation.z
        drawn: list[tuple[AnyVec, AnyVec]] = []
        for baseline in baselines:
            for line in hatching.hatch_paths(baseline, paths):
                for a, b in baseline.pattern_renderer(line.distance).render(line.start, line.end):
                    if ocs.transform:
                        drawn.append((ocs.to_wcs((a.x, a.y, height)), ocs.to_wcs((b.x, b.y, height))))
                    else:
                        drawn.append((a, b))
        self._stages.draw_solid_lines(drawn, properties)

    def draw_composite_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        if not isinstance(entity, Insert):
            self.ctx.push_state(properties)  # what a dimension's block says by block and on layer 0 is the dimension's
            assert isinstance(entity, SupportsVirtualEntities)
            self.draw_entities(virtual_entities(entity))
            self.ctx.pop_state()
            return
        name = str(entity.dxf.get("name", ""))
        block = entity.block()
        if block is None:
            self._leave_out(entity, f"its block {name!r} is not in the file")
        elif block.block is not None and block.block.dxf.get("flags", 0) & 4:
            self._leave_out(entity, "an external reference, which is not in the file")
        elif name.casefold() in self._blocks:
            self._leave_out(entity, f"its block {name!r} holds itself")
        elif len(self._blocks) >= DEEPEST:
            self._leave_out(entity, f"blocks within blocks, more than {DEEPEST} deep")
        elif entity.mcount > MOST_COPIES:
            self._leave_out(entity, f"more than {MOST_COPIES} copies of its block")
        else:
            self._visit(entity.mcount)
            self._blocks.append(name.casefold())
            super().draw_composite_entity(entity, properties)
            self._blocks.pop()

    def draw_proxy_graphic(self, data: bytes | None, doc: Document) -> None:
        if data:
            self.draw_entities(virtual_entities(ProxyGraphic(data, doc)))
