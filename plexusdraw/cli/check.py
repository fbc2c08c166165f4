"""``plexusdraw check``: check a model file."""

from __future__ import annotations

import click

from plexusdraw.cli.common import echo_json, json_option, show
from plexusdraw.clinic.compare import drawn_otherwise
from plexusdraw.errors import ModelError
from plexusdraw.model import Variant, load
from plexusdraw.names import scenarios
from plexusdraw.routes import fibres
from plexusdraw.yamlfile.document import Faults


@click.command("check", short_help="Check a model file.")
@click.argument("file", metavar="FILE", required=False)
@click.option("--schema", is_flag=True, help="Write the JSON Schema of model files, for editors.")
@json_option
def command(file: str | None, schema: bool, as_json: bool) -> None:
    """Check a model file: its form, its names, that every root that is claimed arrives, and the sites of scenarios.

    All faults are reported at once, each with its line, and the exit code is 1.
    """
    if schema:
        from plexusdraw.model.schema import json_schema  # noqa: PLC0415

        echo_json(json_schema())
        return
    if file is None:
        raise click.UsageError("say which file to check.")
    plexus = load(file)
    faults = Faults(plexus.path)
    scenarios.check(plexus, faults)
    faults.check()
    for variant in plexus.variants.values():
        _check_variant(file, variant)
    counts = {
        "segments": len(plexus.segments),
        "muscles": len(plexus.muscles),
        "skin": len(plexus.skin),
        "variants": len(plexus.variants),
        "routes": len(fibres.of(plexus).routes),
    }
    if as_json:
        echo_json({"file": file, "name": plexus.name, **counts})
    else:
        parts = ", ".join(f"{number} {what}" for what, number in counts.items())
        show(f"{file}: {plexus.name}, no fault found. {parts}.")


def _check_variant(file: str, variant: Variant) -> None:
    """Each variant alone makes a sound model; a convention changes no result."""
    other = drawn_otherwise(load(file, [variant.id]))
    if other:
        rest = f" and {len(other) - 1} more" if len(other) > 1 else ""
        raise ModelError(
            f"{file}:{variant.line}: {variant.name}: a convention changes only what is drawn or named, but an injury "
            f'of {other[0]}{rest} would mean something else. Draw it otherwise, or say "kind: variant".'
        )
