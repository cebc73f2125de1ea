r"""Raw DXF text to the lines a person sees: formatting codes taken out, stacks and underlines kept.

Three families of codes meet in dimension text: the %% codes of TEXT, the inline codes of MTEXT
(`\P`, `\S…;`, `{\Fgdt;n}`; ezdxf documentation, "MTEXT inline codes"), and character escapes
(`\U+2300`, `\M+1xxxx`, `^J`). One pass over the text, each code matched by a pattern that can't run
past the next code, keeps the time linear for hostile input; nothing raises, and what is no code
stays as it is written.
"""

import re
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Stack:
    """Two texts above one another."""

    upper: str
    lower: str
    kind: str
    """'/' with a bar, '#' with a slanted bar, '^' with none (tolerances and limits)."""


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of one line in one formatting."""

    content: str | Stack
    underlined: bool = False


@dataclass(frozen=True, slots=True)
class Marked:
    """Text without its codes."""

    lines: tuple[tuple[Run, ...], ...]

    @property
    def underlined(self) -> bool:
        """Whether anything visible is underlined."""
        return any(
            run.underlined and (isinstance(run.content, Stack) or not run.content.isspace())
            for line in self.lines
            for run in line
        )


SYMBOL_FONT = {
    # Letters of the drafting symbol font: two published readers agree on them, except those
    # marked 'memory'. Signs: Unicode code charts, Miscellaneous Technical.
    "a": "∠", "b": "⟂", "c": "⏥", "d": "⌓", "e": "◯", "f": "∥", "g": "⌭", "h": "↗", "i": "⌯", "j": "⌖",
    "k": "⌒", "l": "Ⓛ", "m": "Ⓜ", "n": "⌀", "p": "Ⓟ", "r": "◎", "s": "Ⓢ", "t": "⌰", "u": "⏤",
    "o": "□",  # from memory
    "v": "⌴",  # from memory
    "w": "⌵",  # from memory
    "x": "↧",  # from memory
    "y": "⌲",  # from memory
    "z": "⌳",  # from memory
}  # fmt: skip
_SYMBOL_TABLE = str.maketrans(SYMBOL_FONT)

PERCENT = {"c": "Ø", "d": "°", "p": "±", "%": "%"}
"""%%c %%d %%p: ezdxf documentation; %%%: from memory."""

OLD_CODES = {127: "°", 128: "±", 129: "Ø"}
"""%%127 and %%129 as met in old drawings' shape fonts; 128 from memory."""

_MULTIBYTE = {"1": "cp932", "2": "cp950", "3": "cp949", "4": "johab", "5": "gbk"}
"""First digit of `\\M+nxxxx` to its code page (from memory)."""

_SPECIAL = re.compile(r"[\\{}\^\x00-\x1f\x7f-\x9f]|%%")
_PERCENT_NUMBER = re.compile(r"[0-9]{3}")
_UNICODE = re.compile(r"U\+([0-9A-Fa-f]{4})")
_BYTES = re.compile(r"M\+([1-5])([0-9A-Fa-f]{4})")
# An argument ends at its ';' and never runs past the next code or brace, so that a lost ';' can't
# swallow the number.
_ARGUMENT = re.compile(r"([^;\\{}\r\n]*);")
_STACKED = re.compile(r"([^;\\\r\n]*(?:\\.[^;\\\r\n]*)*);?", re.DOTALL)
# A stacked tolerance can hold fractions, so its own sign is looked for before theirs.
_STACK_SIGNS = tuple(re.compile(rf"(?<!\\){sign}") for sign in (r"\^", "#", "/"))
_WITH_ARGUMENT = frozenset("ACFHQTWcfp")
_NEW_LINE = frozenset("PXNn")


@lru_cache(maxsize=1024)
def _decoded(raw: str) -> Marked:
    return _Decoder(raw).run()


def decode(raw: str) -> Marked:
    """The lines of a raw TEXT, MTEXT or dimension text."""
    if len(raw) > 2000:  # not worth keeping in memory
        return _Decoder(raw).run()
    return _decoded(raw)


def plain_text(raw: str) -> str:
    """`raw` as plain text: lines divided by newlines, stacks as 'a/b' or 'upper / lower'.

    A stack is set off from what stands before it: '2 7/16', '2.5 +.01 / -.02'.
    """
    return shown_text(decode(raw))


def shown_text(marked: Marked) -> str:
    """Marked text as `plain_text` gives it."""
    return "\n".join(_plain_line(line) for line in marked.lines)


def _plain_line(line: tuple[Run, ...]) -> str:
    parts: list[str] = []
    for run in line:
        content = run.content
        if isinstance(content, str):
            parts.append(content)
            continue
        if parts and parts[-1] and not parts[-1][-1].isspace():
            parts.append(" ")
        parts.append(stack_text(content.upper, content.kind, content.lower))
    return "".join(parts).strip()


def stack_text(upper: str, kind: str, lower: str) -> str:
    """A stack in one row; without a bar between the halves it holds two numbers, not a fraction."""
    if kind != "^":
        return f"{upper}/{lower}"
    return f"{upper} / {lower}" if upper and lower else upper or lower


class _Decoder:
    """One pass over one text."""

    def __init__(self, raw: str) -> None:
        self.raw = raw
        self.pos = 0
        self.underlined = False
        self.symbols = False
        self.saved: list[tuple[bool, bool]] = []
        self.lines: list[tuple[Run, ...]] = []
        self.line: list[Run] = []
        self.piece: list[str] = []

    def run(self) -> Marked:
        raw = self.raw
        while (found := _SPECIAL.search(raw, self.pos)) is not None:
            self.write(raw[self.pos : found.start()])
            self.pos = found.end()
            sign = found.group()
            if sign == "\\":
                self.backslash()
            elif sign == "%%":
                self.percent()
            elif sign == "{":
                self.saved.append((self.underlined, self.symbols))
            elif sign == "}":
                if self.saved:
                    underlined, symbols = self.saved.pop()
                    self.format(underlined, symbols)
            elif sign == "^":
                self.caret()
            else:
                self.control(sign)
        self.write(raw[self.pos :])
        self.end_line()
        return Marked(tuple(self.lines))

    def write(self, text: str) -> None:
        if text:
            self.piece.append(text)

    def end_run(self) -> None:
        if self.piece:
            text = "".join(self.piece)
            self.line.append(Run(text.translate(_SYMBOL_TABLE) if self.symbols else text, self.underlined))
            self.piece.clear()

    def end_line(self) -> None:
        self.end_run()
        self.lines.append(tuple(self.line))
        self.line.clear()

    def format(self, underlined: bool, symbols: bool) -> None:
        if (underlined, symbols) != (self.underlined, self.symbols):
            self.end_run()
            self.underlined, self.symbols = underlined, symbols

    def control(self, sign: str) -> None:
        if sign == "\n":
            self.end_line()
        elif sign != "\r":
            self.write(" " if sign == "\t" else "")

    def caret(self) -> None:
        following = self.raw[self.pos : self.pos + 1]
        if following == " ":
            self.write("^")
            self.pos += 1
        elif "@" <= following <= "_" and following not in "\\":
            self.pos += 1
            self.control(chr(ord(following) - 64))
        else:
            self.write("^")

    def percent(self) -> None:
        following = self.raw[self.pos : self.pos + 1].lower()
        if following in PERCENT and following:
            self.write(PERCENT[following])
        elif following == "u":
            self.format(not self.underlined, self.symbols)
        elif following not in ("o", "k"):
            number = _PERCENT_NUMBER.match(self.raw, self.pos)
            if number is None:
                self.write("%%")
                return
            self.pos = number.end()
            self.write(_numbered(int(number.group())))
            return
        self.pos += 1

    def backslash(self) -> None:
        raw, pos = self.raw, self.pos
        code = raw[pos : pos + 1]
        if code in _NEW_LINE:
            self.pos += 1
            self.end_line()
        elif code == "S":
            self.stack()
        elif code in ("L", "l"):
            self.pos += 1
            self.format(code == "L", self.symbols)
        elif code in ("O", "o", "K", "k"):
            self.pos += 1
        elif code == "~":
            self.pos += 1
            self.write(" ")
        elif code and code in "\\{}":
            self.pos += 1
            self.write(code)
        elif code in ("U", "M"):
            self.escape()
        elif code in _WITH_ARGUMENT:
            self.pos += 1
            argument = _ARGUMENT.match(raw, self.pos)
            if argument is not None:
                self.pos = argument.end()
                if code in ("F", "f"):
                    self.format(self.underlined, is_symbol_font(argument.group(1)))
        else:
            self.write("\\")

    def escape(self) -> None:
        sign, end = _escaped(self.raw, self.pos)
        self.write(sign)
        self.pos = end

    def stack(self) -> None:
        found = _STACKED.match(self.raw, self.pos + 1)
        assert found is not None  # the pattern matches the empty text
        self.pos = found.end()
        inner = found.group(1)
        sign = next((hit for pattern in _STACK_SIGNS if (hit := pattern.search(inner))), None)
        if sign is None:
            self.write(_simple(inner))
            return
        upper, lower = _simple(inner[: sign.start()]), _simple(inner[sign.end() :])
        self.end_run()
        self.line.append(Run(Stack(upper, lower, sign.group()), self.underlined))


def is_symbol_font(argument: str) -> bool:
    name = argument.split("|", 1)[0].strip().lower()
    return name.removesuffix(".shx").removesuffix(".ttf").endswith("gdt")


def _numbered(number: int) -> str:
    if number in OLD_CODES:
        return OLD_CODES[number]
    if number < 32 or number > 255:
        return ""
    return bytes([number]).decode("cp1252", errors="ignore")


def _escaped(raw: str, pos: int) -> tuple[str, int]:
    """The character of a \\U+ or \\M+ escape whose letter stands at `pos`, and where it ends."""
    found = _UNICODE.match(raw, pos)
    if found is not None:
        number = int(found.group(1), 16)
        visible = not (number < 32 or 0x7F <= number < 0xA0 or 0xD800 <= number <= 0xDFFF)
        return (chr(number) if visible else "\ufffd"), found.end()
    found = _BYTES.match(raw, pos)
    if found is not None:
        page, digits = found.groups()
        return bytes.fromhex(digits).decode(_MULTIBYTE[page], errors="replace").lstrip("\0"), found.end()
    return "\\", pos


_SIMPLE_CODE = re.compile(r"%%([0-9]{3}|.)|\\([UM])|\\(.)|[{}\x00-\x1f\x7f-\x9f]", re.DOTALL)


def _simple(text: str) -> str:
    """One half of a stack: characters only, no lines and no formatting."""
    parts: list[str] = []
    pos = 0
    while (found := _SIMPLE_CODE.search(text, pos)) is not None:
        parts.append(text[pos : found.start()])
        pos = found.end()
        percent, escape, other = found.groups()
        if percent is not None:
            parts.append(_numbered(int(percent)) if len(percent) == 3 else PERCENT.get(percent.lower(), ""))
        elif escape is not None:
            sign, pos = _escaped(text, found.start() + 1)
            parts.append(sign)
        elif other is not None:
            if other in _WITH_ARGUMENT and (argument := _ARGUMENT.match(text, pos)) is not None:
                pos = argument.end()
            else:
                parts.append({"~": " "}.get(other, other if not other.isalnum() else ""))
    parts.append(text[pos:])
    return "".join(parts).strip()
