"""``plexusdraw check``: check a model file, or a course file."""

from __future__ import annotations

import click

from plexusdraw import charts
from plexusdraw.cli import defaults
from plexusdraw.cli.advice import advice
from plexusdraw.cli.common import echo_json, json_option, show
from plexusdraw.cli.fitting import Command, beside, fitting
from plexusdraw.clinic.compare import drawn_otherwise
from plexusdraw.courses import load
from plexusdraw.errors import ModelError
from plexusdraw.model import Plexus, Variant
from plexusdraw.names import reachable, scenarios
from plexusdraw.routes import fibres
from plexusdraw.yamlfile.document import Faults


@click.command("check", cls=Command, short_help="Check a model or course file.")
@click.argument("file", metavar="FILE", required=False)
@click.option("--schema", is_flag=True, help="Write the JSON Schema of model files, for editors.")
@json_option
@fitting(beside("file", "schema"), beside("as_json", "schema"))
def command(file: str | None, schema: bool, as_json: bool) -> None:
    """Check a model file: its form, its names, that every root that is claimed arrives, the sites of scenarios, and
    the chart of the limb that it names.

    Or a course file: its form, its names, the defaults that it gives.

    All faults are reported at once, each with its line, and the exit code is 1. Warnings, of roots that reach nothing
    and nerves that no picture draws, leave it 0.
    """
    if schema:
        from plexusdraw.model.schema import json_schema  # noqa: PLC0415

        echo_json(json_schema())
        return
    if file is None:
        raise click.UsageError("say which file to check.")
    plexus = load(file)
    if plexus.taught is not None:
        _course(file, plexus, as_json)
        return
    faults = Faults(plexus.path)
    scenarios.check(plexus, faults)
    reachable.check(plexus, faults)
    faults.check()
    _check_chart(plexus)
    warnings = [f"{file}:{line}: {text}" for line, text in advice(plexus)]
    for variant in plexus.variants.values():
        warnings += (text for text in _check_variant(file, variant) if text not in warnings)
    counts = {
        "segments": len(plexus.segments),
        "muscles": len(plexus.muscles),
        "skin": len(plexus.skin),
        "variants": len(plexus.variants),
        "routes": len(fibres.of(plexus).routes),
    }
    if as_json:
        echo_json({"file": file, "name": plexus.name, **counts, "warnings": warnings})
    else:
        parts = ", ".join(f"{number} {what}" for what, number in counts.items())
        show(f"{file}: {plexus.name}, no fault found. {parts}.")
        for text in warnings:
            show(f"Warning: {text}")


def _course(file: str, plexus: Plexus, as_json: bool) -> None:
    """Check what a course says of commands, and the variants of its model; tell how much it keeps."""
    assert plexus.taught is not None
    defaults.check(plexus)
    _check_chart(plexus)
    for variant in plexus.variants.values() if plexus.taught.of_file else ():
        _check_variant(plexus.path, variant)  # --variant adds it to the course
    counts = {"segments": len(plexus.segments), "muscles": len(plexus.muscles), "skin": len(plexus.skin)}
    left = len(plexus.taught.left_out)
    if as_json:
        echo_json({"file": file, "name": plexus.taught.name, "model": plexus.name, **counts, "left out": left})
        return
    parts = ", ".join(f"{number} {what}" for what, number in counts.items())
    show(f"{file}: {plexus.taught.name} ({plexus.name}), no fault found. {parts}; {left} things are left out.")


def _check_chart(plexus: Plexus) -> None:
    """The chart of the limb, where the model names one: it is there, and as it should be."""
    if plexus.chart:
        charts.of(plexus)


def _check_variant(file: str, variant: Variant) -> list[str]:
    """Each variant alone makes a sound model; a convention changes no result. Returns warnings."""
    varied = load(file, [variant.id])
    faults = Faults(f"{file}, with {variant.name}")
    scenarios.check(varied, faults)
    faults.check()
    other = drawn_otherwise(varied)
    if other:
        rest = f" and {len(other) - 1} more" if len(other) > 1 else ""
        raise ModelError(
            f"{file}:{variant.line}: {variant.name}: a convention changes only what is drawn or named, but an injury "
            f'of {other[0]}{rest} would mean something else. Draw it otherwise, or say "kind: variant".'
        )
    return [f"{file}:{line}: {text}" for line, text in advice(varied)]
