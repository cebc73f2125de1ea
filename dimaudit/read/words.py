"""Text from a file made safe to carry: one string type, no half characters."""


def clean(text: str) -> str:
    """The text with lone surrogates (bytes that were no text in the file's encoding) replaced by U+FFFD.

    Nothing else is changed: formatting codes, control characters and markup stay, to be escaped by whoever prints.
    """
    return text.encode("utf-8", "replace").decode("utf-8") if not text.isascii() else text
