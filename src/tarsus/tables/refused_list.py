"""Refused lines as a table that can be mended in a spreadsheet program and sent again."""

from __future__ import annotations

from collections import defaultdict

from tarsus.tables.columns import OUR_OWN
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.rows import Refusal, Sheet
from tarsus.tables.writing import Table


def refused_table(sheet: Sheet, plan: ImportPlan, batch_id: int) -> Table:
    """The refused lines as they stood, with why they were refused and what would mend them.

    Args:
        sheet: the table they come from; its headings are kept.
        plan: what became of its lines.
        batch_id: the import that refused them, 0 for a dry run. The list carries it, so that a line that
        comes back
            mended is no longer waited for.
    """
    reasons: dict[int, list[Refusal]] = defaultdict(list)
    for one in plan.refused:
        reasons[one.line].append(one)
    headings = tuple(heading for heading in sheet.headings if heading not in OUR_OWN)
    rows = [
        (
            *(row.as_mapping()[heading] for heading in headings),
            f"{batch_id}/{row.line}",
            " | ".join(one.field for one in reasons[row.line]),
            " | ".join(one.reason for one in reasons[row.line]),
            " | ".join(one.remedy for one in reasons[row.line]),
        )
        for row in plan.refused_rows
    ]
    return Table("refused", (*headings, *OUR_OWN), rows)
