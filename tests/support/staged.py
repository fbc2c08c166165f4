"""Random staged models as YAML text: every size and shape that the form allows, all invented."""

from __future__ import annotations

from random import Random

WORDS = ("amber", "birch", "cedar", "delta", "ember", "fjord", "grove", "heath", "islet", "jetty", "knoll", "larch")


def model(
    seed: int, roots: int = 5, stages: int = 4, width: int = 4, branches: int = 6, long_names: bool = False
) -> str:
    """A model with *roots* roots, about *width* segments in each of the other stages, side branches, muscles, skin.

    Every segment has a parent in an earlier stage, mostly the one before; every root reaches a muscle.
    """
    random = Random(seed)
    names = [[f"{chr(82 - i // 99)}{i % 99 + 1}" for i in range(roots)]]
    rows: list[str] = []
    for stage in range(1, stages):
        count = max(1, min(width + random.randint(-1, 1), width + 1)) if stage < stages - 1 else max(1, width)
        names.append([_name(random, stage, i, long_names) for i in range(count)])
    parents = _parents(random, names)
    courses = _courses(random, names, branches)
    for name in sorted(_childless(names, parents) - set(names[-1])):  # a muscle needs a name that ends there
        courses.setdefault(name, []).append(f"end nerve of {name.lower()}")
    muscles: list[str] = []
    skin: list[str] = []
    for stage, ids in enumerate(names):
        for name in ids:
            line = f"  - {{name: {name}, stage: s{stage}"
            if stage:
                line += f", from: [{', '.join(_id(p) for p in parents[name])}]"
            course = [_id(n) for n in courses.get(name, [])]
            if stage == stages - 1:
                course.append(_muscle(name))
                muscles.append(name)
            line += f", course: [{', '.join(course)}]" if course else ""
            rows.append(line + "}")
    carried = _carried(names, parents)
    nerves: dict[str, set[str]] = {}
    for name, given in courses.items():
        for nerve in given:
            nerves.setdefault(nerve, set()).update(carried[name])
    for nerve, reached in nerves.items():
        side = random.choice(["", ", side: cranial", ", side: caudal", ", side: caudal, passes: behind"])
        target = _skin(nerve) if random.random() < 0.2 else _muscle(nerve)
        rows.append(f"  - {{name: {nerve}, course: [{target}]{side}}}")
        if target.startswith("skin"):
            skin.append(f"  - {{name: {target.replace('-', ' ')}, roots: [{', '.join(sorted(reached))}]}}")
        else:
            muscles.append(nerve)
            carried[nerve] = reached
    listed = [
        f"  - {{name: {_muscle(n).replace('-', ' ')}, roots: [{', '.join(sorted(carried[n]))}]}}" for n in muscles
    ]
    heads = [f"  - {{id: s{i}, name: {_plural(i)}, singular: {_one(i)}{_order(random, i)}}}" for i in range(stages)]
    sections = [
        "plexusdraw: 1",
        f"id: random-{seed}",
        f"name: random plexus {seed}",
        "latin: plexus fictus",
        "limb: limb",
    ]
    sections += ["caution: Invented.", "stages:", *heads, "segments:", *rows, "muscles:", *listed]
    return "\n".join([*sections, *(["skin:", *skin] if skin else [])]) + "\n"


def _name(random: Random, stage: int, index: int, long_names: bool) -> str:
    words = [random.choice(WORDS) for _ in range(random.randint(2, 5) if long_names else 1)]
    return f"{' '.join(words)} {'abcdefgh'[stage]}{index + 1}"


def _id(name: str) -> str:
    return name if name[0].isupper() and name[1:].isdigit() else name.replace(" ", "-")


def _muscle(name: str) -> str:
    return f"muscle-of-{_id(name)}".lower()


def _skin(name: str) -> str:
    return f"skin-of-{_id(name)}".lower()


def _parents(random: Random, names: list[list[str]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for stage in range(1, len(names)):
        for i, name in enumerate(names[stage]):
            before = names[stage - 1]
            centre = min(len(before) - 1, i * len(before) // max(1, len(names[stage])))
            near = before[max(0, centre - 1) : centre + 2]
            found[name] = sorted(random.sample(near, min(len(near), random.randint(1, 2))), key=before.index)
            if stage > 1 and random.random() < 0.08:
                found[name].append(random.choice(names[stage - 2]))
    return found


def _courses(random: Random, names: list[list[str]], branches: int) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for k in range(branches):
        stage = random.randrange(max(1, len(names) - 1))
        ids = names[stage]
        first = random.randrange(len(ids))
        many = random.choice([1, 1, 1, 2, 3])
        for name in ids[first : first + many]:
            found.setdefault(name, []).append(f"{random.choice(WORDS)} nerve {k + 1}")
    # one name for one branch: the word drawn for its first origin
    used: dict[str, str] = {}
    for given in found.values():
        for i, nerve in enumerate(given):
            given[i] = used.setdefault(nerve.split()[-1], nerve)
    return found


def _childless(names: list[list[str]], parents: dict[str, list[str]]) -> set[str]:
    taken = {p for given in parents.values() for p in given}
    return {name for ids in names for name in ids if name not in taken}


def _carried(names: list[list[str]], parents: dict[str, list[str]]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {name: {name} for name in names[0]}
    for ids in names[1:]:
        for name in ids:
            found[name] = set().union(*(found[p] for p in parents[name]))
    return found


def _plural(stage: int) -> str:
    return ("roots", "trunks", "parts", "cords", "limbs", "twigs", "ends", "tips")[stage]


def _one(stage: int) -> str:
    return _plural(stage)[:-1]


def _order(random: Random, stage: int) -> str:
    return ", order: free" if stage and random.random() < 0.4 else ""
