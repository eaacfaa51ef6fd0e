import subprocess
import sys

from voicelog.records import Store

SPEAKER = """
import sys
from datetime import UTC, datetime
from voicelog.records import Store

with Store.open(sys.argv[1]) as store:
    for number in range(100_000):
        memo = store.keep_memo(
            said_at=datetime(2027, 5, 4, tzinfo=UTC), text=f"memo {number}", source="typed"
        )
        print(memo.id, flush=True)
"""


def test_every_memo_told_as_kept_outlives_a_killed_process(path):
    speaker = subprocess.Popen(
        [sys.executable, "-c", SPEAKER, str(path)], stdout=subprocess.PIPE, text=True
    )
    told = [int(speaker.stdout.readline()) for _ in range(50)]
    speaker.kill()
    told += [int(line) for line in speaker.stdout.read().split()]
    speaker.wait()
    speaker.stdout.close()
    with Store.open(str(path)) as store:
        kept = store.unparsed()
        assert [memo.id for memo in kept][: len(told)] == told
        assert [memo.text for memo in kept] == [f"memo {n}" for n in range(len(kept))]
        assert store.check() == ()
