"""``tworules families``: what there is to practise."""

from __future__ import annotations

from itertools import groupby

import click

from tutor.commands.options import json_option
from tutor.words import say


@click.command("families", help=say("families.help"))
@json_option
def command(as_json: bool) -> None:
    from problems import families

    found = families()
    if as_json:
        import json

        entries = [{"name": f.name, "title": f.title, "topic": f.topic} for f in found]
        click.echo(json.dumps({"families": entries}, ensure_ascii=False, indent=2))
        return
    wide = max((len(f.name) for f in found), default=0)
    for number, (topic, group) in enumerate(groupby(found, key=lambda f: f.topic)):
        click.echo("\n" * (number > 0) + topic)
        for f in group:
            click.echo(f"  {f.name:{wide}}  {f.title}")
