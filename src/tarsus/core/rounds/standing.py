"""Which facts stand: a withdrawal takes a fact back, and one that was itself withdrawn takes nothing back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from tarsus.core.rounds.facts import Fact, FactId, RoundFact, Withdrawn


def standing_facts(facts: Iterable[Fact]) -> dict[FactId, RoundFact]:
    """Leave out what was withdrawn, and what is told twice.

    Args:
        facts: in any order; the same id is the same fact.

    Returns:
        The facts that stand, by id, withdrawals themselves left out. It depends on the set of facts alone.
        Two withdrawals that take each other back end in neither.
    """
    told: dict[FactId, RoundFact] = {}
    against: dict[FactId, set[FactId]] = defaultdict(set)
    for fact in facts:
        if isinstance(fact, Withdrawn):
            against[fact.corrects].add(fact.id)
        else:
            told[fact.id] = fact
    if not against:
        return told

    def stands(fact_id: FactId, path: frozenset[FactId]) -> bool:
        if fact_id in path:
            return False
        deeper = path | {fact_id}
        return not any(stands(one, deeper) for one in against.get(fact_id, ()))

    return {fact_id: fact for fact_id, fact in told.items() if stands(fact_id, frozenset())}
