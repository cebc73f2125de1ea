"""The report as one page: drawings, findings and arithmetic in a single file that asks the network for nothing."""

from dimaudit.report.interface import Run


def html_report(run: Run) -> str:
    """The whole run; what the page is made with is loaded only here, since no other report needs it."""
    from dimaudit.report.html.page import page

    return page(run)
