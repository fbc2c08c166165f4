"""A picture and the choices it was made with: load a plexus, choose, save.

>>> import plexusdraw
>>> figure = plexusdraw.figure("brachial", highlight="C7")
>>> figure.pages()[0].view.title
'Brachial plexus: C7'
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast, get_args

from plexusdraw import names, output, paint
from plexusdraw.courses import load
from plexusdraw.errors import OutputError, UnknownNameError
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Limb, Options, kept, layout, measuring
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.limb.options import By, Layers, LimbOptions, Picture
from plexusdraw.layout.paper import paper as paper_named
from plexusdraw.layout.paper import with_text
from plexusdraw.look.theme import Theme
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import regions
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.routes import fibres as fibre_routes
from plexusdraw.routes import reach
from plexusdraw.scene import Scene
from plexusdraw.scene.view import Page
from plexusdraw.views import titles
from plexusdraw.views.request import Request, views_of

if TYPE_CHECKING:
    from plexusdraw.clinic.injury import Injury
    from plexusdraw.names.sites import Site

INJURED = "injured"
"""Instead of a nerve: the one on which every cut lies."""
PNG_PPI: float = paint.FORMATS["png"].options["ppi"]
"""Pixels per inch of a PNG."""
Words = str | Sequence[str]


@measuring(64)
def scenes(plexus: Plexus, options: Options | LimbOptions) -> tuple[Scene, ...]:
    """The layout of a picture, worked out once in a process. FitError if it cannot fit its page."""
    plexus = plexus.laid_out
    if isinstance(options, LimbOptions):
        from plexusdraw import charts  # noqa: PLC0415
        from plexusdraw.layout.limb import compose  # noqa: PLC0415

        return compose.layout(plexus, charts.of(plexus), options)
    return layout(plexus, fibre_routes.of(plexus), options)


def fitting(plexus: Plexus, options: Options) -> tuple[Scene, ...] | None:
    """The same of a plexus or nerve, None where it does not fit: quicker for those who then try another page."""
    plexus = plexus.laid_out
    return kept(plexus, fibre_routes.of(plexus), options)


@dataclass(frozen=True)
class Figure:
    """A picture; nothing in it changes. Make one with :func:`figure`."""

    plexus: Plexus
    options: Options | LimbOptions
    request: Request
    theme: Theme
    with_key: bool = False
    """Whether a second page (or file) gives the answers."""
    _cache: dict[str, bytes] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def _fibres(self) -> fibre_routes.Fibres:
        return fibre_routes.of(self.plexus)

    def pages(self) -> tuple[Page, ...]:
        """The pages asked for, without the key."""
        return self._pages(self.request)

    def key_pages(self) -> tuple[Page, ...]:
        """The same pages with the answers in place."""
        return self._pages(replace(self.request, key=True))

    def blanks(self, *kinds: str) -> int:
        """How many names on its pages are hidden by these words of ``hide``."""
        shown = self._pages(replace(self.request, hide=kinds, key=False))
        return len({key for page in shown for key in page.view.blanks})

    def _pages(self, request: Request) -> tuple[Page, ...]:
        found = scenes(self.plexus.drawn, self.options)
        if isinstance(self.options, LimbOptions):
            from plexusdraw.views.limb import views as limb_views  # noqa: PLC0415

            return tuple(map(Page, found, limb_views(self.plexus, self._fibres, found, request)))
        return tuple(map(Page, found, views_of(self.plexus, self._fibres, found, request)))

    def render(self, format: str, ppi: float = PNG_PPI) -> bytes:
        """The picture as a file's bytes; a PDF holds the key as well, other formats one page.

        Raises:
            FitError: it cannot fit its page.
            OutputError: no such format, or more pages than it holds.
        """
        pages = [*self.pages(), *(self.key_pages() if self.with_key and self._format(format).many_pages else ())]
        return self._paint(format, pages, ppi)

    def _paint(self, format: str, pages: Sequence[Page], ppi: float) -> bytes:
        wanted = self._format(format)
        if len(pages) > 1 and not wanted.many_pages:
            raise OutputError(f"{format} holds one page and this picture has {len(pages)}; save it as pdf")
        return paint.paint(format, pages, self.theme, **wanted.taken(ppi=ppi))

    @staticmethod
    def _format(name: str) -> paint.Format:
        if name not in paint.names("picture"):
            raise OutputError(f'no format "{name}"; choose from {", ".join(paint.names("picture"))}')
        return paint.FORMATS[name]

    def save(self, path: str | Path, format: str | None = None, ppi: float = PNG_PPI) -> list[Path]:
        """Write the picture; the name's ending says the format.

        A key goes on further pages of a PDF, else into "NAME-key.EXT", a second page into "NAME-2.EXT". Files are
        written whole or not at all, and none if there is no room for one. Returns the files written.

        Raises:
            FitError: it cannot fit its page; nothing is written.
            OutputError: unknown ending, or a file that cannot be written.
        """
        wanted = (format or Path(path).suffix.lstrip(".")).lower()
        if not wanted:
            endings = paint.endings("picture")
            raise OutputError(f'"{path}" has no ending to tell the format; add {endings}')
        pages = [("", page) for page in self.pages()]
        keys = [("-key", page) for page in self.key_pages()] if self.with_key else []
        if self._format(wanted).many_pages:
            sheets = [("", [page for _, page in (*pages, *keys)])]
        else:
            sheets = [
                (f"{suffix}-{i}" if i > 1 else suffix, [page])
                for group in (pages, keys)
                for i, (suffix, page) in enumerate(group, start=1)
            ]
        place = Path(path)
        made = [(output.beside(place, suffix), group) for suffix, group in sheets]
        return output.write_all(
            (file if len(made) > 1 else place, self._paint(wanted, group, ppi)) for file, group in made
        )

    def _repr_svg_(self) -> str:
        return self.render("svg").decode()


def save_together(figures: Sequence[Figure], path: str | Path) -> list[Path]:
    """Write several pictures, to be compared, one under the other on one page; returns the file written.

    Raises:
        FitError: one cannot fit its page; nothing is written.
        OutputError: unknown ending, or a file that cannot be written.
    """
    place = Path(path)
    format = place.suffix.lstrip(".").lower()
    if format not in paint.names("picture"):
        raise OutputError(f'"{path}": pictures are written as {paint.endings("picture")}; end its name so')
    pages = [page for one in figures for page in one.pages()]
    options = paint.FORMATS[format].taken(ppi=PNG_PPI, together=True)
    if "together" not in options:
        raise OutputError(f'"{path}": {format} holds one picture; end its name otherwise, as in .pdf')
    return output.write_all([(place, paint.paint(format, pages, figures[0].theme, **options))])


def figure(
    plexus: Plexus | str | Path = "brachial",
    *,
    detail: Detail = "nerves",
    nerve: str = "",
    limb: Picture | Literal[""] = "",
    layer: Layers = "both",
    by: str = "",
    highlight: Words = (),
    hide: Words = (),
    key: bool = False,
    injure: Words = (),
    partial: bool = False,
    upto: str = "",
    part: str = "",
    side: Limb = "left",
    paper: str = "a4",
    text_size: float = 1.0,
    theme: str | Path | Theme = "print",
    title: str = "",
    naming: Style = "short",
    with_roots: bool = False,
    labels: dict[str, str] | None = None,
    variants: Words = (),
) -> Figure:
    """A picture of a plexus (a built-in name, a model or course file, or one loaded before).

    Args:
        detail: "framework" (columns alone), "nerves" (side branches, what they supply) or "muscles" (supply table).
        nerve: the nerve whose course is drawn instead, with its branches and places in order; "injured": the one on
            which every cut lies.
        limb: "skin", "muscles" or "dermatomes" draws the limb instead of the plexus. layer: of its muscles,
            "superficial", "deep" or "both".
        by: what colour stands for: "root" (the default), "plane" (anterior or posterior divisions) or "nerve"; of the
            limb "nerve", "root" or "state" (by default the nerve, or the state after an injury).
        highlight: structures whose fibres keep their colour while the rest is dimmed.
        hide: kinds of label to blank out: "labels" for all, or "roots", "trunks", ..., "nerves", "muscles".
        key: give the answers on a second page or in a second file.
        injure: sites to cut, as ``names.sites.parse_all`` understands them; partial: each spares some fibres,
            else those with ":partial" at the end.
        upto: the last stage to show ("trunks"); what comes later keeps its place, unseen.
        part: draw the nerves of one part ("lumbar plexus") and what feeds them; all is computed of the whole plexus.
        side: the limb; "right" mirrors the geometry.
        paper: as ``plexusdraw.layout.paper.paper`` names it: "a4", "letter portrait", "16:9", "250x180", "fit".
        text_size: of all text, as a multiple of the usual.
        theme: "print", "lecture", "grayscale", or a theme file.
        variants: names of variants and conventions of the model, for a plexus that is given by name or file.
        naming: "short", "english" or "latin". labels: texts of your own by id. with_roots: roots after nerve names.

    Raises:
        ModelError, ThemeError: a file is wrong. UnknownNameError: a name that the plexus does not have.
    """
    model = plexus if isinstance(plexus, Plexus) else load(plexus, _words(variants))
    page = paper_named(paper)
    page = with_text(page, text_size) if text_size != 1.0 else page
    found_sites = _sites(model, _words(injure)) if injure else []
    model = model.drawn
    if part:
        model = regions.drawn_alone(model, regions.of(model, part))
    own = tuple((names.find(model, k).id, v) for k, v in (labels or {}).items())
    drawn = _nerve(model, nerve, found_sites, upto) if nerve else ""
    lit = tuple(reach.find(model, text) for text in _words(highlight))
    injury = _injury(model, found_sites, partial) if found_sites else None
    asks = bool(_words(hide))
    request = Request(
        title=title or titles.title(model.drawn, naming, nerve=drawn, highlight=lit, injury=injury, asks=asks),
        highlight=lit,
        hide=tuple(_words(hide)),
        injury=injury,
        upto=upto,
        by=(by or "root") if not limb else "root",
        naming=naming,
    )
    wording = Wording(style=naming, own=own, with_roots=with_roots)
    shown = theme if isinstance(theme, Theme) else load_theme(theme)
    if limb:
        from plexusdraw.views.limb import asked as limb_asked  # noqa: PLC0415

        chosen = _of_limb(by or ("state" if found_sites else "nerve"))
        told = title or titles.limb(model, limb, naming, highlight=lit, injury=injury, asks=asks)
        asked = limb_asked(model, fibre_routes.of(model), lit, injury)
        sheet = LimbOptions(limb, layer, chosen, page, side, wording, bool(found_sites), asked)
        return Figure(model, sheet, replace(request, title=told), shown, key)
    options = Options(detail, page, side, wording, nerve=drawn)
    return Figure(model, options, request, shown, key)


def _sites(plexus: Plexus, texts: Sequence[str]) -> list[Site]:
    """The places of the drawing at which it is cut."""
    from plexusdraw.names import sites  # noqa: PLC0415  # as below: most pictures show no injury

    cut = sites.together(site for text in texts for site in sites.parse_all(plexus, text))
    return [sites.on_drawing(plexus, site) for site in cut]


def _injury(plexus: Plexus, found: Sequence[Site], partial: bool) -> Injury:
    from plexusdraw.clinic.injury import Injury  # noqa: PLC0415

    return Injury(plexus, found, partial)


def _of_limb(by: str) -> By:
    """What colour stands for in a picture of the limb."""
    for choice in get_args(By):
        if choice == by:
            return cast(By, choice)
    raise UnknownNameError(f'of the limb, colour cannot stand for "{by}"; choose from {", ".join(get_args(By))}')


def _words(value: Words) -> list[str]:
    return [value] if isinstance(value, str) else list(value)


def _nerve(plexus: Plexus, text: str, injured: Sequence[Site], upto: str) -> str:
    """Id of the nerve whose course is drawn."""
    from plexusdraw.layout.nerve import fit as one_nerve  # noqa: PLC0415  # five modules that most pictures do without

    if upto:
        raise UnknownNameError("the course of a nerve has no stages to build up; leave them out")
    if text == INJURED:
        return one_nerve.nerve_at(plexus, [site.segment for site in injured])
    return one_nerve.nerve_of(plexus, names.find(plexus, text))
