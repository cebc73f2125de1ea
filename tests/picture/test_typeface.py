"""The typeface: the signs that drawings need, and that its file is what its script makes."""

import shutil

from fontTools.ttLib import TTFont

from dimaudit.text.control_frame import MODIFIERS, SIGNS
from dimaudit.text.markup import SYMBOL_FONT
from dimaudit.typeface import FAMILY, FILE
from dimaudit.typeface.signs import put_into


def test_every_sign_that_the_audit_reads_has_a_shape():
    """Signs of control frames, of the drafting font and of dimension texts; Latin letters with marks; fractions."""
    drawn = TTFont(FILE).getBestCmap()
    letters = {*"Ø⌀°±×½¼¾⅛⅜⅝⅞²³µ√≤≥–—…ÄÖÜäöüßéèçÅåñŁłΩπ", *map(chr, range(32, 127))}
    needed = {*"".join(SIGNS), *MODIFIERS, *SYMBOL_FONT.values()} | letters
    assert not sorted(sign for sign in needed if ord(sign) not in drawn)


def test_the_file_is_what_the_script_makes(tmp_path):
    """Putting the signs in anew changes nothing."""
    copy = tmp_path / "copy.ttf"
    shutil.copyfile(FILE, copy)
    put_into(copy)
    assert copy.read_bytes() == FILE.read_bytes()


def test_the_family_is_the_file_s_own():
    """SVG files ask for the family by this name; the licence forbids two words in it."""
    names = {str(record) for record in TTFont(FILE)["name"].names if record.nameID in (1, 4, 16)}
    assert names == {FAMILY}
    assert FILE.with_name("LICENSE.txt").is_file()
