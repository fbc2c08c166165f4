"""Graphviz DOT: the named structures as nodes at their places, the strands between them as edges.

For those who go on in that ecosystem: ``neato -n2`` keeps the positions (points, y up, as ``pos`` wants them).
An edge has one colour for each root; a dashed edge has lost all its fibres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plexusdraw import fonts
from plexusdraw.errors import OutputError
from plexusdraw.look.lines import clean
from plexusdraw.look.redaction import Names, title
from plexusdraw.look.theme import Colour, Theme, mix
from plexusdraw.scene import MM_PER_PT, Label, Pill, Point, Scene, Shape, Spot, Strand
from plexusdraw.scene.view import State, View


def paint(pages: Sequence[tuple[Scene, View]], theme: Theme) -> bytes:
    """The page as a UTF-8 DOT digraph."""
    import graphviz  # noqa: PLC0415

    (page,) = pages
    scene, view = page
    if any(isinstance(part, Shape) and part.role == "body" for part in scene.parts):
        raise OutputError("dot holds structures and strands, and a limb has none; save it as svg or pdf")
    names = Names(scene, view)
    graph = graphviz.Digraph(
        "plexus",
        graph_attr={
            "bgcolor": theme.page,
            "fontname": fonts.FAMILY,
            "label": _shown(title(view)),
            "notranslate": "true",  # else Graphviz moves the lower left corner to its origin
        },
        node_attr={"shape": "box", "style": "rounded", "fontname": fonts.FAMILY, "color": theme.ink},
        edge_attr={"arrowhead": "none", "penwidth": "2"},
    )

    def id(entity: str) -> str:
        """Node name; a colon would name a port."""
        escaped: str = graphviz.escape(names.entity(entity).replace(":", "-"))
        return escaped

    nodes = _nodes(scene, view, names)
    for entity, (label, (x, y)) in nodes.items():
        graph.node(
            id(entity),
            label=_shown(label),
            pos=f"{x / MM_PER_PT:.2f},{(scene.height - y) / MM_PER_PT:.2f}!",
            fontcolor=theme.look(view.entity(entity)).text or theme.ink,
        )
    for source, entity, colours, lost in _edges(scene, view, theme):
        if source in nodes and entity in nodes:
            style = "dashed" if lost else "solid"
            graph.edge(id(source), id(entity), color=":".join(colours), style=style)
    made: str = graph.source
    return made.encode()


def _shown(label: str) -> str:
    """A label that shows *label* as it is: no escapes, no entities."""
    import graphviz  # noqa: PLC0415

    shown: str = graphviz.escape(clean(label).replace("&", "&amp;"))
    return shown


def _nodes(scene: Scene, view: View, names: Names) -> dict[str, tuple[str, Point]]:
    """Entity → its label and place, for all that is named on the page or lies on the way of a strand."""
    found: dict[str, tuple[str, Point]] = {}
    for part in scene.parts:
        if isinstance(part, Pill | Label | Spot) and view.entity(part.entity) != "hidden":
            number = view.blanks.get((part.entity, "name"))
            match part:
                case Pill(box=box, lines=lines):
                    label = " ".join(line.string for line in lines)
                    at = (box.x + box.w / 2, box.y + box.h / 2)
                case Label(role="name", lines=lines) if lines:
                    label = " ".join(line.string for line in lines)
                    box = lines[0].box
                    at = (box.x + box.w / 2, box.y + box.h / 2)
                case Spot():
                    said = view.called.get(part.entity) or part.entity.replace("-", " ")
                    label, at = names.words(said), (part.x, part.y)
                case _:
                    continue
            if part.entity not in found or not isinstance(part, Spot):
                found[part.entity] = (f"({number})" if number else label, at)
    return found


def _edges(scene: Scene, view: View, theme: Theme) -> Iterator[tuple[str, str, list[Colour], bool]]:
    """Source, entity, a colour for each strand between them, and whether all of them are lost."""
    pens = {root: theme.pen(i) for i, root in enumerate(scene.roots)}
    found: dict[tuple[str, str], list[tuple[Colour, State]]] = {}
    for part in scene.parts:
        if isinstance(part, Strand) and part.source is not None:
            state = view.strand((part.entity, part.root, part.source, part.at))
            if state != "hidden":
                look = theme.look(state)
                colour = look.strand or mix(pens[part.root].strand, theme.page, look.mix)
                found.setdefault((part.source, part.entity), []).append((colour, state))
    for (source, entity), strands in found.items():
        yield source, entity, [c for c, _ in strands], all(state == "lost" for _, state in strands)
