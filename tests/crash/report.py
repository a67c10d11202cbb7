"""Say what a crash run showed, and what it cannot show."""

from __future__ import annotations

from tests.crash.shop_floor import Tally


def report(tally: Tally, seed: int, writer: str) -> str:
    """Lay a run out in lines.

    Args:
        tally: what happened.
        seed: the seed it was started with.
        writer: name of the writer.

    Returns:
        The lines.
    """
    verdict = f"FAILED, faults: {len(tally.faults)}" if tally.faults else "held"
    lines = [
        f"{writer}, seed {seed}: {tally.kills} kills by SIGKILL over {tally.records} records in {tally.seconds:.0f} s",
        f"  entries acknowledged                     {tally.acknowledged}",
        f"  events stored by them                    {tally.events}",
        f"  entries sent again after a kill          {tally.sent_again}",
        f"  of them stored before the kill           {tally.stored_unacknowledged}",
        f"  kills that left a journal to roll back   {tally.mid_write} (looked for only where both writers died)",
        f"  kills before the writer had opened       {tally.before_open}",
        f"  entries sent twice, answered as at first {tally.repeats_answered}",
        f"  used keys with another body, refused     {tally.conflicts_answered}",
        f"nothing lost, nothing doubled, nothing by half, chains whole, no gap, integrity_check ok: {verdict}",
    ]
    lines += [f"  {fault}" for fault in tally.faults[:10]]
    lines.append("Not shown: a power cut or a failing disk. See tests/crash/__init__.py.")
    return "\n".join(lines)
