"""``layout explain``."""

from __future__ import annotations

import click


@click.command("explain")
@click.argument("rule", required=False)
def command(rule: str | None) -> None:
    r"""Explain RULE: what it checks, why, its numbers with their sources; without RULE, list all.

    \b
    Example: layout explain headroom
    """
    from layout.jobs.catalogue import rule_names, rule_page

    click.echo(rule_page(rule) if rule else rule_names(), nl=False)
