"""Charts of limbs: ``load`` reads and checks one, ``of`` finds the chart of a plexus."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plexusdraw.charts.chart import Chart
from plexusdraw.errors import ModelError
from plexusdraw.yamlfile import reader
from plexusdraw.yamlfile.document import is_yaml, read_text

if TYPE_CHECKING:
    from plexusdraw.charts.schema import ChartFile
    from plexusdraw.model.plexus import Plexus

_FOLDER = Path(__file__).parent.parent / "anatomy" / "charts"


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
    if is_yaml(plexus.chart):
        if Path(plexus.chart).name != plexus.chart:  # a model leads to no other folder
            raise ModelError(f'{plexus.path}: chart "{plexus.chart}" must lie beside the model. Give its name alone.')
        return load(Path(plexus.path).parent / plexus.chart)
    return load(plexus.chart)


def load(path_or_name: str | Path) -> Chart:
    """The chart in a file, or the built-in one of that name.

    Raises:
        ModelError: there is none, or it is wrong; the message has a line for each fault, "file.yaml:12: ...".
    """
    path = Path(path_or_name)
    if is_yaml(path):
        return _chart(read_text(path), str(path_or_name), trusted=False)
    if str(path_or_name) not in charts():
        raise ModelError(f'no built-in chart "{path_or_name}" (there are: {", ".join(charts())}).')
    return _chart(read_text(_FOLDER / f"{path_or_name}.yaml"), f"{path_or_name}.yaml", trusted=True)


def _form() -> type[ChartFile]:
    from plexusdraw.charts.schema import ChartFile  # noqa: PLC0415

    return ChartFile


KIND = reader.Kind("chart of a limb", "It starts with plexusdraw-chart: 1.", _form, key="plexusdraw-chart")


@lru_cache(maxsize=4)
def _chart(text: str, path: str, trusted: bool) -> Chart:
    from plexusdraw.charts.build import Builder  # noqa: PLC0415

    file = reader.from_text(KIND, text, path, trusted=trusted)
    file.check()
    chart = Builder(file.document, file.faults).chart()
    if not trusted:
        list(chart.tilings.values())  # cut now, so that what is wrong is told with the rest
    file.check()
    return chart
