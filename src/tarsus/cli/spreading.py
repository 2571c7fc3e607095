"""Where the seasons of a study are played: on this machine's cores, or on a Dask cluster.

Each season carries its own seed, so that the figures are the same wherever and in whatever order it is
played.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib import import_module

from tarsus.core.errors import WrongValue
from tarsus.core.readings.season import SeasonPlayed, SeasonTask, play_season

Numbered = Iterator[tuple[int, SeasonPlayed]]


def on_cores(tasks: Sequence[SeasonTask], workers: int | None) -> Numbered:
    """Play seasons on this machine, one process a core; yields each with its number as it ends."""
    from concurrent.futures import ProcessPoolExecutor, as_completed

    if workers == 1 or len(tasks) == 1:
        yield from ((at, play_season(task)) for at, task in enumerate(tasks))
        return
    with ProcessPoolExecutor(workers) as pool:
        numbers = {pool.submit(play_season, task): at for at, task in enumerate(tasks)}
        try:
            for done in as_completed(numbers):
                yield numbers[done], done.result()
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def on_dask(tasks: Sequence[SeasonTask], scheduler: str | None, workers: int | None) -> Numbered:
    """Play seasons on a Dask cluster; yields each with its number as it ends.

    Raises:
        WrongValue: Dask is not installed, or nobody answers at the scheduler's address.
    """
    try:
        dask = import_module("distributed")
    except ImportError:
        raise WrongValue("--spread dask", "Dask is not installed; install tarsus[spread]") from None
    try:
        if scheduler is not None:
            client = dask.Client(scheduler, timeout=10)
        else:
            client = dask.Client(n_workers=workers, threads_per_worker=1, dashboard_address=None)
    except (OSError, ValueError, TimeoutError) as reason:
        raise WrongValue("--scheduler", f"nobody answers at {scheduler} ({reason}); is it running?") from None
    with client:
        numbers = {client.submit(play_season, task, pure=False): at for at, task in enumerate(tasks)}
        for done, season in dask.as_completed(numbers, with_results=True):
            yield numbers[done], season
