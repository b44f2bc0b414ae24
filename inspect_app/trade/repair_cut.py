"""A smallest cut in whole numbers of any length: which nodes stay with the source when the least is cut.

Dinic's algorithm on plain lists. SciPy's maximum flow counts in 32 bits and answered 0 for a single edge of 2⁴⁰;
networkx counts in any, but takes three to five times as long and a fifth of a second to import. The tests hold this
one to SciPy's, and to trying every cut.
"""

from collections.abc import Iterable, Sequence

Edge = tuple[int, int, int, int]
"""From, to, what it carries, and what it carries the other way."""


def source_side(nodes: int, edges: Iterable[Edge], source: int, sink: int) -> frozenset[int]:
    """Return the nodes on the source's side of a smallest cut: of all smallest cuts the side with the fewest nodes.

    The smallest sides of two smallest cuts have their common part as one, too: there is one with the fewest nodes, and
    it is what the source still reaches when nothing more can flow.
    """
    ends: list[int] = []
    room: list[int] = []
    leaving: list[list[int]] = [[] for _ in range(nodes)]
    for a, b, there, back in edges:
        for tail, head, carries in ((a, b, there), (b, a, back)):  # an edge and its reverse differ in the last bit
            leaving[tail].append(len(ends))
            ends.append(head)
            room.append(carries)
    while True:
        steps = _steps(leaving, ends, room, source)
        if steps[sink] < 0:
            return frozenset(node for node, step in enumerate(steps) if step >= 0)
        _fill(leaving, ends, room, steps, source, sink)


def _steps(leaving: Sequence[list[int]], ends: list[int], room: list[int], source: int) -> list[int]:
    """How many edges with room lie between the source and each node; -1 where none lead."""
    steps = [-1] * len(leaving)
    steps[source] = 0
    waiting = [source]
    for node in waiting:
        for edge in leaving[node]:
            if room[edge] and steps[ends[edge]] < 0:
                steps[ends[edge]] = steps[node] + 1
                waiting.append(ends[edge])
    return steps


def _fill(
    leaving: Sequence[list[int]], ends: list[int], room: list[int], steps: list[int], source: int, sink: int
) -> None:
    """Push along shortest ways until none is left; `room` and `steps` are worn down on the way."""
    following = [iter(edges) for edges in leaving]
    way: list[int] = []
    node = source
    while True:
        if node == sink:
            node = _push(way, ends, room)
            following[node] = iter(leaving[node])
            continue
        for edge in following[node]:
            if room[edge] and steps[ends[edge]] == steps[node] + 1:
                way.append(edge)
                node = ends[edge]
                break
        else:
            if node == source:
                return
            steps[node] = -1  # a dead end
            node = ends[way.pop() ^ 1]


def _push(way: list[int], ends: list[int], room: list[int]) -> int:
    """Push what the way has room for, shorten it to before its first full edge, and return where it then ends."""
    pushed = min(room[edge] for edge in way)
    for edge in way:
        room[edge] -= pushed
        room[edge ^ 1] += pushed
    full = next(place for place, edge in enumerate(way) if not room[edge])
    node = ends[way[full] ^ 1]
    del way[full:]
    return node
