"""Making much at once without looking for garbage in it."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def all_of_it_stays() -> Iterator[None]:
    """Without looks for garbage among millions of rows of which none is: a fifth of the time.

    One within another, or beside it in another thread, ends nothing for the outer one but what it
    saves; whoever found the looks on turns them on again.
    """
    were_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if were_on:
            gc.enable()
