"""Three tablets send what they kept in any order, in any batches, more than once: one outcome for each event, one history."""

import shutil
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.journal import Journal
from inspect_app.journal.verify import verify
from sample_units.hands import Hands, admit, hire, new_id

TABLETS = 3
ZONES = ("left.cab_door_lower", "left.sill", "right.cab_door_lower", "openings.rear_doors")

acts = st.sampled_from(
    ["make", "amend", "accept", "withdraw", "put_right", "clear", "send_back", "look", "take", "work"]
)
script = st.lists(st.tuples(st.integers(0, TABLETS - 1), acts, st.integers(0, 3)), min_size=4, max_size=40)


class Scene:
    """A unit under an open walk, three people who may do everything, and four markers they all talk about."""

    def __init__(self, folder: Path):
        self.journal = Journal(folder, lasting=False)
        roles, departments = ("inspector", "technician", "manager"), ("polish", "paint", "body")
        people = [hire(self.journal, f"Person {number}", roles, departments, pin_hash="-") for number in range(TABLETS)]
        self.hands = [Hands(self.journal, person, admit(self.journal), roles, departments) for person in people]
        first = self.hands[0]
        self.unit = first.arrive(
            chassis="ZZBRT6L10KA047312", plant="Halden yard", build_number="HB-1", make="Brennach", model="Tourer 6",
            colour="Sand", finish="solid",
        )  # fmt: skip
        self.walk = first.start_walk(self.unit)
        self.markers = [new_id() for _ in range(4)]
        self.job = self._job()

    def _job(self) -> str:
        self.hands[0].mark(self.unit, self.walk, "nib", "left.cab_door_lower", "A9", size=15)
        self.hands[0].do(self.unit, "marks_released", {"walk": self.walk})
        return self.hands[0].jobs(self.unit)[0]["id"]

    def event(self, tablet: int, act: str, which: int) -> dict:
        """What this tablet keeps for one act."""
        hands, marker = self.hands[tablet], self.markers[which]
        made = {"marker": marker, "tag": f"A{which + 1}", "walk": self.walk, "kind": "nib", "size": 3, "severity": "S4"}
        spot = hands.spot(self.unit, ZONES[which])
        cautions = list(self.journal.catalogue().methods["denib_polish"].cautions)
        name, body = {
            "make": ("marker_made", made | spot),
            "amend": ("marker_amended", {"marker": marker, "size": 3 + tablet}),
            "accept": ("marker_accepted", {"marker": marker}),
            "withdraw": ("marker_withdrawn", {"marker": marker, "reason": "a shadow"}),
            "put_right": ("put_right_here", {"marker": marker, "how": "wipe"}),
            "clear": ("marker_cleared", {"marker": marker}),
            "send_back": ("marker_sent_back", {"marker": marker, "reason": "still felt"}),
            "look": ("zone_looked", {"walk": self.walk, "zone": ZONES[which], "lap": "lamp", "found": which}),
            "take": ("job_taken", {"job": self.job, "cautions": cautions}),
            "work": ("work_done", {"job": self.job, "minutes": 5}),
        }[act]
        return hands.event(self.unit, name, body)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(script=script, data=st.data())
def test_any_interleaving_gives_each_event_one_outcome_and_rebuilds_to_the_same(empty_folder, script, data):
    with tempfile.TemporaryDirectory() as temporary:
        folder = shutil.copytree(empty_folder, Path(temporary) / "data", ignore=shutil.ignore_patterns("lock"))
        scene = Scene(folder)
        queues = [
            [scene.event(tablet, act, which) for who, act, which in script if who == tablet]
            for tablet in range(TABLETS)
        ]
        outcomes: dict[str, tuple] = {}
        sent: list[tuple[int, list[dict]]] = []
        while any(queues):
            tablet = data.draw(st.sampled_from([number for number in range(TABLETS) if queues[number]]))
            size = data.draw(st.integers(1, len(queues[tablet])))
            batch, lost = queues[tablet][:size], data.draw(st.booleans())
            sent.append((tablet, batch))
            for answer in scene.hands[tablet].send(*batch):
                told = (answer.outcome, answer.reason, answer.n)
                assert outcomes.setdefault(answer.id, told) == told
                assert answer.outcome in ("applied", "flagged", "refused")
            if not lost or data.draw(st.booleans()):  # a lost answer: the tablet sends the same again
                queues[tablet] = queues[tablet][size:]
        newest = scene.journal.newest()
        for tablet, batch in sent:
            assert [(a.outcome, a.reason, a.n) for a in scene.hands[tablet].send(*batch)] == [
                outcomes[e["id"]] for e in batch
            ]
        assert scene.journal.newest() == newest
        kept = {row["id"] for row in scene.journal.read().execute("SELECT id FROM events UNION SELECT id FROM refused")}
        assert outcomes.keys() <= kept
        scene.journal.close()
        told = verify(folder)
        assert told.clean, told.sentence
