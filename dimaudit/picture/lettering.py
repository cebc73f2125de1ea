"""Text as shapes of letters, all in the one typeface that comes with the tool."""

from functools import lru_cache

from ezdxf.addons.drawing.mtext_complex import ComplexMTextRenderer
from ezdxf.addons.drawing.properties import Properties, RenderContext
from ezdxf.addons.drawing.unified_text_renderer import UnifiedTextRenderer
from ezdxf.entities.mtext import MText
from ezdxf.fonts import fonts
from ezdxf.fonts.font_face import FontFace
from ezdxf.fonts.fonts import _UnmanagedTrueTypeFont as _Face
from ezdxf.tools.text import MTextContext
from ezdxf.tools.text_layout import LayoutAlignment

from dimaudit.typeface import FILE


@lru_cache(maxsize=256)
def _font(cap_height: float, width_factor: float = 1.0) -> fonts.AbstractFont:
    return _Face(str(FILE), cap_height, width_factor)


class Lettering(UnifiedTextRenderer):
    """Whatever typeface a text style names: what a machine has installed must not change a picture."""

    def get_font(self, font_face: FontFace) -> fonts.AbstractFont:  # noqa: ARG002
        return _font(1.0)


class MTextRenderer(ComplexMTextRenderer):
    """Formatted text, measured in the same typeface."""

    def get_font(self, ctx: MTextContext) -> fonts.AbstractFont:
        return _font(float(ctx.cap_height), float(ctx.width_factor))


def draw_mtext(context: RenderContext, pipeline: object, mtext: MText, properties: Properties) -> None:
    """Lays out and draws a text with formatting codes."""
    engine = MTextRenderer(context, pipeline, properties).layout_engine(mtext)  # type: ignore[arg-type]
    engine.place(align=LayoutAlignment(mtext.dxf.attachment_point))
    engine.render(mtext.ucs().matrix)
