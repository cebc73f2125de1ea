"""`rules` and `schema`: what the tool knows, for a person and for a script."""


import click

from dimaudit.cli.group import cli


@cli.command()
def rules() -> None:
    """List the rules with the highest level that their findings have.

    \b
    Example:
      dimaudit rules
    """
    from dimaudit.judge import RULES

    width = max(len(rule.name) for rule in RULES)
    for rule in RULES:
        click.echo(f"{rule.name.ljust(width)}  {str(rule.level).ljust(7)}  {rule.summary}")


@cli.command()
@click.argument("command", type=click.Choice(["check", "check-lines", "as-read", "stack-up", "advise", "compare",
                "settings"]), default="check")  # fmt: skip
def schema(command: str) -> None:
    """Print the JSON Schema of a command's JSON report; without its name, that of `check`.

    check-lines is that of a line of `check --format jsonl`.

    \b
    Examples:
      dimaudit schema > report.schema.json
      dimaudit schema advise > advice.schema.json
    """
    import json

    from dimaudit.report.schemas import schema as load

    click.echo(json.dumps(load(command), indent=1))
