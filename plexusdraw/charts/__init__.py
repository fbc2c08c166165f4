"""Charts of limbs: ``load`` reads and checks one, ``of`` finds the chart of a plexus."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw.charts.chart import Chart
from plexusdraw.errors import ModelError

if TYPE_CHECKING:
    from plexusdraw.model.plexus import Plexus
    from plexusdraw.yamlfile.document import Document, Faults

_FOLDER = Path(__file__).parent.parent / "anatomy" / "charts"
_SUFFIXES = (".yaml", ".yml")


def charts() -> tuple[str, ...]:
    """Names of the built-in charts, sorted."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))


def of(plexus: Plexus) -> Chart:
    """The chart that a plexus goes with: a built-in one, or a file beside that of the model.

    Raises:
        ModelError: the model names no chart, or one that is not there or is wrong.
    """
    if not plexus.chart:
        hint = 'Its file says which one it goes with: "chart: NAME", a built-in chart or a .yaml file beside it.'
        raise ModelError(f"the {plexus.name} has no chart of a limb. {hint}")
    if Path(plexus.chart).suffix in _SUFFIXES:
        return load(Path(plexus.path).parent / plexus.chart)
    return load(plexus.chart)


def load(path_or_name: str | Path) -> Chart:
    """The chart in a file, or the built-in one of that name.

    Raises:
        ModelError: there is none, or it is wrong; the message has a line for each fault, "file.yaml:12: ...".
    """
    from plexusdraw.yamlfile.document import read_text  # noqa: PLC0415

    path = Path(path_or_name)
    if path.suffix in _SUFFIXES:
        return _chart(read_text(path), str(path_or_name), trusted=False)
    if str(path_or_name) not in charts():
        raise ModelError(f'no built-in chart "{path_or_name}" (there are: {", ".join(charts())}).')
    return _chart(read_text(_FOLDER / f"{path_or_name}.yaml"), f"{path_or_name}.yaml", trusted=True)


@lru_cache(maxsize=4)
def _chart(text: str, path: str, trusted: bool) -> Chart:
    """*trusted*: the file ships with the tool, so the tests check its form, and not each start anew."""
    from plexusdraw.charts.build import Builder  # noqa: PLC0415
    from plexusdraw.yamlfile.document import Faults, parse  # noqa: PLC0415

    faults = Faults(path)
    document = parse(text, path)
    if not isinstance(document.value, dict) or document.value.get("plexusdraw-chart") != 1:
        faults.add(1, "not a chart of a limb", "It starts with plexusdraw-chart: 1.")
        faults.check()
    if not trusted:
        _check(document, faults)
        faults.check()
    chart = Builder(document, faults).chart()
    if not trusted:
        assert chart.tilings is not None  # cut now, so that what is wrong is told with the rest
    faults.check()
    return chart


def _check(document: Document, faults: Faults) -> None:
    """Note where a parsed file has another form than a chart's."""
    from pydantic import ValidationError  # noqa: PLC0415

    from plexusdraw.charts.form import ChartFile  # noqa: PLC0415

    try:
        ChartFile.model_validate(document.value)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            if faults.full:
                break
            keys = [k for k in detail["loc"] if isinstance(k, int) or k in _keys(document.value)]
            place = ", ".join(str(k) for k in keys) or "the file"
            faults.add(document.line(tuple(keys)), f"{place}: {detail['msg'][:1].lower()}{detail['msg'][1:]}")


def _keys(value: object) -> set[str]:
    """All keys in a file's mappings."""
    if isinstance(value, dict):
        return {str(k) for k in value} | {k for child in value.values() for k in _keys(child)}
    return {k for child in value for k in _keys(child)} if isinstance(value, list) else set()
