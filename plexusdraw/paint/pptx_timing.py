"""What appears on a slide at each click (ECMA-376 part 1, 19.5): effects of the class "entrance", kind "appear"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count

_AT_ONCE = '<p:stCondLst><p:cond delay="0"/></p:stCondLst>'
_ON_CLICK = '<p:stCondLst><p:cond delay="indefinite"/></p:stCondLst>'
_APPEAR = 'presetID="1" presetClass="entr" presetSubtype="0"'
_BACK, _ON = (
    f'<p:{name}CondLst><p:cond evt="{event}" delay="0"><p:tgtEl><p:sldTgt/></p:tgtEl></p:cond></p:{name}CondLst>'
    for name, event in (("prev", "onPrev"), ("next", "onNext"))
)


def timing(clicks: Sequence[Sequence[int]]) -> str:
    """The main sequence: for each click the numbers of the shapes that then appear; nothing without clicks."""
    if not clicks:
        return ""
    numbers = count(1)
    root, main = next(numbers), next(numbers)
    steps = "".join(_click(shapes, numbers) for shapes in clicks)
    sequence = (
        f'<p:seq concurrent="1" nextAc="seek"><p:cTn id="{main}" dur="indefinite" nodeType="mainSeq">'
        f"<p:childTnLst>{steps}</p:childTnLst></p:cTn>{_BACK}{_ON}</p:seq>"
    )
    return (
        f'<p:timing><p:tnLst><p:par><p:cTn id="{root}" dur="indefinite" restart="never" nodeType="tmRoot">'
        f"<p:childTnLst>{sequence}</p:childTnLst></p:cTn></p:par></p:tnLst></p:timing>"
    )


def _click(shapes: Iterable[int], numbers: count[int]) -> str:
    """One click: all its shapes at once, the first of them at the click, the others with it."""
    outer, inner = next(numbers), next(numbers)
    effects = "".join(_effect(shape, "withEffect" if i else "clickEffect", numbers) for i, shape in enumerate(shapes))
    together = (
        f'<p:par><p:cTn id="{inner}" fill="hold">{_AT_ONCE}<p:childTnLst>{effects}</p:childTnLst></p:cTn></p:par>'
    )
    return f'<p:par><p:cTn id="{outer}" fill="hold">{_ON_CLICK}<p:childTnLst>{together}</p:childTnLst></p:cTn></p:par>'


def _effect(shape: int, how: str, numbers: count[int]) -> str:
    own, change = next(numbers), next(numbers)
    shown = (
        f'<p:set><p:cBhvr><p:cTn id="{change}" dur="1" fill="hold">{_AT_ONCE}</p:cTn>'
        f'<p:tgtEl><p:spTgt spid="{shape}"/></p:tgtEl>'
        "<p:attrNameLst><p:attrName>style.visibility</p:attrName></p:attrNameLst></p:cBhvr>"
        '<p:to><p:strVal val="visible"/></p:to></p:set>'
    )
    return (
        f'<p:par><p:cTn id="{own}" {_APPEAR} fill="hold" nodeType="{how}">{_AT_ONCE}'
        f"<p:childTnLst>{shown}</p:childTnLst></p:cTn></p:par>"
    )
