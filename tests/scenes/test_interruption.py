from __future__ import annotations

import os
import signal
import threading

import pytest

from turnstill.scenes.delivery.interruption import Interruptions
from turnstill.scenes.delivery.progress import Progress


def interrupt() -> None:
    os.kill(os.getpid(), signal.SIGINT)


def test_an_interruption_waits_until_it_is_let_in() -> None:
    before = signal.getsignal(signal.SIGINT)
    reached = False
    with pytest.raises(KeyboardInterrupt), Interruptions() as interruptions:
        interruptions.let_in()
        interrupt()
        reached = True
        interruptions.let_in()
        pytest.fail("the interruption was not let in")
    assert reached and signal.getsignal(signal.SIGINT) is before


@pytest.mark.parametrize("error", [None, ValueError("in consequence")])
def test_none_is_lost_at_the_end(error: Exception | None) -> None:
    before = signal.getsignal(signal.SIGINT)
    with pytest.raises(KeyboardInterrupt), Interruptions():
        interrupt()
        if error:
            raise error
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_one_acts_at_once() -> None:
    with pytest.raises(KeyboardInterrupt), Interruptions():
        interrupt()
        interrupt()
        pytest.fail("the second interruption waited too")


def test_a_step_of_the_progress_lets_it_in() -> None:
    done = []
    with pytest.raises(KeyboardInterrupt), Progress(3) as progress:
        for item in progress.over([1, 2, 3], "counting"):
            done.append(item)
            if item == 2:
                interrupt()
    assert done == [1, 2]


def test_what_is_ignored_stays_ignored_and_other_threads_are_left_alone() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with Interruptions():
            assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)
    failed: list[BaseException] = []

    def elsewhere() -> None:
        try:
            with Interruptions() as interruptions:
                interruptions.let_in()
        except BaseException as error:
            failed.append(error)

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert not failed
