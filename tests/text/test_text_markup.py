"""Decoding the formatting codes of DXF text."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dimaudit.text.markup import Stack, decode, plain_text

PLAIN = [
    # situation, raw, what a person sees. Codes: ezdxf documentation, "MTEXT inline codes".
    ("no code at all", "12.5", "12.5"),
    ("alignment", r"\A1;12.5", "12.5"),
    ("font with a scope", r"\fPlay|b0|i0;{\H5.4800;7.0 TYP}", "7.0 TYP"),
    ("diameter", "%%c50", "Ø50"),
    ("diameter, capital", "%%C50", "Ø50"),
    ("degree", "131%%d", "131°"),
    ("plus-minus", ".5%%p.1", ".5±.1"),
    ("percent", "5%%%", "5%"),
    ("percent signs that are no code", "5%%", "5%%"),
    ("degree by number in old fonts", "30%%127", "30°"),
    ("diameter by number in old fonts", "%%12912", "Ø12"),
    ("degree by its own number", "30%%176", "30°"),
    ("a number that is a control character", "3%%0075", "35"),
    ("Unicode escape before a digit", r"\U+220580", "∅80"),
    ("Unicode escape of half a surrogate pair", r"\U+D80080", "\ufffd80"),
    ("Japanese multi-byte escape", r"\M+1818b", "°"),
    ("broken Unicode escape", r"\U+12", r"\U+12"),
    ("paragraph", r"1.5\PTYP", "1.5\nTYP"),
    ("above and below the dimension line", r"1.5\X2", "1.5\n2"),
    ("caret for a tabulator", "1^I2", "1 2"),
    ("caret for itself", "1^ 2", "1^2"),
    ("stacked fraction behind a whole number", r"7'-0{\H1.000000x;\S3#4;}" + '"', "7'-0 3/4\""),
    ("stacked tolerance", r"70\S0.01^ 0.02;", "70 0.01 / 0.02"),
    ("stacked tolerance of fractions", r"7\S+1/64^ -1/32;", "7 +1/64 / -1/32"),
    ("stacked limits", r"%%c\S3.010^3.005;", "Ø 3.010 / 3.005"),
    ("stacked fraction with a bar", r"\S7/16;", "7/16"),
    ("raised number alone", r"25\S+0.1^;", "25 +0.1"),
    ("lowered number alone", r"25\S^-0.1;", "25 -0.1"),
    ("stack with nothing to stack", r"\S12;", "12"),
    ("symbol font", r"{\Fgdt;n}.250", "⌀.250"),
    ("symbol font with a family", r"{\fAMGDT|b0|i0|c2|p0;x} 5", "↧ 5"),
    ("symbol font ends with its scope", r"{\Fgdt.shx;n}nnn", "⌀nnn"),
    ("hard blank", r"2\~3", "2 3"),
    ("escaped braces and backslash", r"\{1\}\\", "{1}\\"),
    ("lost semicolon keeps the number", r"\A1 12.5", "1 12.5"),
    ("closing brace too many", "12.5}}}", "12.5"),
    ("opening brace too many", "{{{12.5", "12.5"),
    ("backslash at the end", "12.5\\", "12.5\\"),
    ("control characters", "1\x002\x1f.5\x85", "12.5"),
]


@pytest.mark.parametrize(("raw", "seen"), [case[1:] for case in PLAIN], ids=[case[0] for case in PLAIN])
def test_plain_text(raw: str, seen: str) -> None:
    """Formatting codes disappear and coded characters appear as what they stand for."""
    assert plain_text(raw) == seen


def test_stack_keeps_its_kind() -> None:
    """A stack comes out as its two halves and the sign that divides them."""
    stacks = [decode(raw).lines[0][0].content for raw in (r"\S7/16;", r"\S7#16;", r"\S+.01^ -.02;")]
    assert stacks == [Stack("7", "16", "/"), Stack("7", "16", "#"), Stack("+.01", "-.02", "^")]


@pytest.mark.parametrize(
    ("raw", "underlined"),
    [
        (r"\L12.5\l", True),
        (r"{\L12.5} TYP", True),
        ("%%u12.5%%u", True),
        ("%%U12.5", True),
        (r"\L\S1/2;", True),
        ("12.5", False),
        (r"\L\l12.5", False),
        (r"{\L}12.5", False),
        (r"{\L }12.5", False),
        ("%%u%%u12.5", False),
        ("%%o12.5", False),
    ],
)
def test_underline(raw: str, underlined: bool) -> None:
    r"""Text is underlined where something visible stands under \L or %%u in force."""
    assert decode(raw).underlined is underlined
    assert plain_text(raw).startswith(("12.5", "1/2"))


@given(st.text(alphabet=st.sampled_from("\\{}^%;/#SPLlUM+AFfH|cdu0123456789. \n\x00é⌀")))
def test_any_text_can_be_decoded(raw: str) -> None:
    """No text makes decoding fail, and no control character other than the newline comes out."""
    seen = plain_text(raw)
    assert all(sign == "\n" or ord(sign) >= 32 for sign in seen)


@pytest.mark.parametrize("unit", ["{", "}", "\\S", "\\f", "\\", "%%", "^", "\\S1/", "\\Fgdt;{n", "\\H1", "1.", "\\S^"])
def test_hostile_text_takes_linear_time(unit: str) -> None:
    """Half a million characters of any one code decode in seconds at the most, on any machine."""
    begin = time.process_time()
    decode(unit * (500_000 // len(unit)))
    assert time.process_time() - begin < 5
