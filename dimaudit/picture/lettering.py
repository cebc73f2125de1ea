"""Text as shapes of letters, all in the one typeface that comes with the tool."""

from functools import lru_cache

from ezdxf.addons.drawing.mtext_complex import ComplexMTextRenderer
from ezdxf.addons.drawing.properties import Properties, RenderContext
from ezdxf.addons.drawing.unified_text_renderer import UnifiedTextRenderer
from ezdxf.entities.mtext import MText
from ezdxf.fonts import fonts
from ezdxf.fonts.font_face import FontFace
from ezdxf.fonts.fonts import _UnmanagedTrueTypeFont as _Face
from ezdxf.fonts.glyphs import GlyphPath
from ezdxf.tools.text import MTextContext
from ezdxf.tools.text_layout import ContentCell, LayoutAlignment

from dimaudit.text.markup import SYMBOL_FONT, is_symbol_font
from dimaudit.typeface import FILE

SYMBOLS = FontFace(family="gdt")
"""Stands for the drafting font whose letters are signs."""
_SIGN_OF_LETTER = str.maketrans(SYMBOL_FONT)


@lru_cache(maxsize=256)
def _font(cap_height: float, width_factor: float = 1.0) -> fonts.AbstractFont:
    return _Face(str(FILE), cap_height, width_factor)


def face_of(font_name: str) -> FontFace:
    """What is kept of the typeface that a text style names: what a machine has installed must not change a picture."""
    return SYMBOLS if is_symbol_font(font_name) else FontFace()


def _as_lettered(text: str, face: FontFace | None) -> str:
    return text.translate(_SIGN_OF_LETTER) if face is not None and is_symbol_font(face.family) else text


class Lettering(UnifiedTextRenderer):
    """All text in one typeface."""

    def get_font(self, font_face: FontFace) -> fonts.AbstractFont:  # noqa: ARG002
        return _font(1.0)

    def get_text_glyph_paths(self, text: str, font_face: FontFace, cap_height: float = 1.0) -> list[GlyphPath]:
        return super().get_text_glyph_paths(_as_lettered(text, font_face), font_face, cap_height)

    def get_text_line_width(self, text: str, font_face: FontFace, cap_height: float = 1.0) -> float:
        return super().get_text_line_width(_as_lettered(text, font_face), font_face, cap_height)


class MTextRenderer(ComplexMTextRenderer):
    """Formatted text, measured in the same typeface."""

    def get_font(self, ctx: MTextContext) -> fonts.AbstractFont:
        return _font(float(ctx.cap_height), float(ctx.width_factor))

    def word(self, text: str, ctx: MTextContext) -> ContentCell:
        return super().word(_as_lettered(text, ctx.font_face), ctx)


def draw_mtext(context: RenderContext, pipeline: object, mtext: MText, properties: Properties) -> None:
    """Lays out and draws a text with formatting codes."""
    engine = MTextRenderer(context, pipeline, properties).layout_engine(mtext)  # type: ignore[arg-type]
    engine.place(align=LayoutAlignment(mtext.dxf.attachment_point))
    engine.render(mtext.ucs().matrix)
