"""The run as JUnit XML: a suite a drawing, a test case a finding. The fields are those of the schema that
docs/formats.md names; it asks for no clock, and none is read."""

from collections import Counter
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from dimaudit.model.audit import Finding, Level, UnreadDrawing
from dimaudit.model.record import Result, Totals
from dimaudit.report.interface import CAUTION
from dimaudit.report.plain_lines import LONGEST, finding_lines, open_ends, some
from dimaudit.report.visible import for_xml

AUDIT = "audit"
"""The test case that says of a drawing as a whole: nothing found, nothing to check, or not read."""


class Suite:
    """A test suite in the making: its cases and their counts."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._cases: list[str] = []
        self._named: Counter[str] = Counter()
        self._counts = dict.fromkeys(("failure", "error", "skipped"), 0)

    def case(self, name: str, inside: str = "") -> None:
        """A test case, with what is inside it; one of the same name gets a number, since a CI tells them by names."""
        shown = numbered = for_xml(name, LONGEST)
        while self._named[numbered]:
            self._named[shown] += 1
            numbered = f"{shown} ({self._named[shown]})"
        self._named[numbered] += 1
        self._cases.append(
            f"  <testcase name={quoteattr(numbered)} classname={_attribute(self._name)}"
            + (f">\n{inside}  </testcase>\n" if inside else "/>\n")
        )

    def outcome(self, name: str, tag: str, kind: str, message: str, lines: Sequence[str] = ()) -> None:
        """A test case with one outcome: failure, error or skipped."""
        self._counts[tag] += 1
        head = f"    <{tag} type={_attribute(kind)} message={_attribute(message)}"
        self.case(name, f"{head}>{_body(lines)}</{tag}>\n" if lines else f"{head}/>\n")

    def written(self, *before: str, after: str = "") -> str:
        """The suite; `before` its cases come the properties, `after` them its output."""
        counts = self._counts
        return (
            f'<testsuite name={_attribute(self._name)} tests="{len(self._cases)}" failures="{counts["failure"]}" '
            f'errors="{counts["error"]}" skipped="{counts["skipped"]}">\n'
            f"{''.join((*before, *self._cases))}{after}</testsuite>\n"
        )


class JunitReport:
    """Each drawing as a suite, then one for the run as a whole."""

    def __init__(self, version: str) -> None:
        self._version = version

    def begin(self) -> str:
        return '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="dimaudit">\n'

    def drawing(self, result: Result) -> str:
        suite = Suite(result.path)
        if isinstance(result, UnreadDrawing):
            suite.outcome(AUDIT, "error", "unread", result.why)
            return suite.written()
        ends = list(open_ends(result.record))
        findings = result.record.findings
        if not findings and result.record.dimensions:
            suite.case(AUDIT)
        for f in findings:
            _finding(suite, f)
        for accepted in result.accepted:
            why = f"accepted by {accepted.author}: {accepted.reason}"
            suite.outcome(_name(accepted.finding), "skipped", "accepted", why, finding_lines(accepted.finding))
        for end in ends:
            if end.what == "not judged":
                suite.outcome(AUDIT if not end.count else end.what, "skipped", end.what, str(end))
        unread = [f"{end.what}: {end}" for end in ends if end.what != "not judged"]
        return suite.written(after=f"  <system-out>{_body(unread)}</system-out>\n" if unread else "")

    def end(self, totals: Totals) -> str:
        suite = Suite("dimaudit")
        for fault in totals.faults:
            where = f"{fault.rule} on {fault.path}"
            suite.outcome(where, "error", "fault of the tool", fault.error, ["please report it with the drawing"])
        properties = "".join(
            f"    <property name={_attribute(name)} value={_attribute(value)}/>\n"
            for name, value in (("version", self._version), ("caution", CAUTION))
        )
        said = f"  <system-out>{_body(totals.remarks)}</system-out>\n" if totals.remarks else ""
        return suite.written(f"  <properties>\n{properties}  </properties>\n", after=said) + "</testsuites>\n"


def _finding(suite: Suite, f: Finding) -> None:
    message, *rest = finding_lines(f)
    if f.level == Level.NOTE:
        suite.case(_name(f), f"    <system-out>{_body([f'note: {message}', *rest])}</system-out>\n")
    else:
        suite.outcome(_name(f), "failure", str(f.level), message, rest)


def _name(f: Finding) -> str:
    return f"{f.rule} {some(f.handles)}"


def _attribute(text: str) -> str:
    return quoteattr(for_xml(text, LONGEST))


def _body(lines: Sequence[str]) -> str:
    return escape("\n".join(for_xml(line, LONGEST) for line in lines))
