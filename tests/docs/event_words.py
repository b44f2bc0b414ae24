"""What follows from each event, in words for docs/reference.md. A test fails when an event has none."""

FOLLOWS = {
    "unit_arrived": "A unit is there, open, on the outline of its make and model or else the plant's current one. The chassis number is checked; the last six are noted.",
    "unit_corrected": "The named fields change. The chassis number never does.",
    "station_passed": "The van has left a station of the line, once each; the unit names the furthest. Marks found from now on name the station after it.",
    "part_painted": "Kept with the part: booth, sprayer, mix, when it was flame-treated and when it was painted.",
    "part_off": "A part of the outline is off its van, in stage off; its zones are off the van. Its material is the outline's unless said.",
    "part_stage": "The part is through a stage, the next by its material or one to be done again, its label read. Refused: another van's label (`mix_up`), a wait that runs, a window that has closed, a page that is older than the part's stage. Painted: booth and mix are kept with the part and the van's paintings.",
    "part_refitted": "The part is on its van again, its label read, 24 hours after its paint, its broken clips replaced, of one mix with its pair unless `reason` says why; the looks there and beside it are undone.",
    "part_put_back": "An untouched part is on its van again; the looks there are undone.",
    "mixup_stopped": "Counted: the label in hand was another van's. The server finds which.",
    "clips_counted": "The clips of a part so far, and what the new ones cost at the plant's price of now.",
    "reading_taken": "A reading of a part, a joint or the air is judged by the catalogue in force and kept with its figures and that version. It changes no marker: one that is opened, cleared or withdrawn after it names it as `reading`.",
    "outline_set": "The unit is drawn on another outline; refused once it carries a marker or a walk on it has begun. Notes of zones that are not fitted stay where the other outline has the zone.",
    "zones_absent": "Zones are not fitted (no look needed), off the van (blocks coverage), or present again.",
    "walk_started": "A walk is under way. While one of the same purpose is, the two count as one. If the unit was set to another outline while a tablet was away, its first walk takes the outline it was begun on back.",
    "plan_accepted": "The plan is kept with what it stood on (`basis`: refused when that has changed), counted in `minutes` or `money`; `otherwise` names parts that a person has done the other way, each `part` · `chosen` spots/refinish · `reason`. "
    "Its markers leave the jobs nobody has begun and go into the plan's chains: method and department are the plan's.",
    "walk_finished": "The walk and its twins end; open markers without a job become jobs (`job_planned`).",
    "marks_released": "What is marked so far becomes jobs before the walk is finished.",
    "zone_looked": "A look at one zone in one lap, also after another tablet finished the walk. It counts when its walk does and no later work "
    "has undone it.",
    "look_undone": "The looks of this walk at this zone and lap are taken back.",
    "marker_made": "A marker, open. Made on another outline than the unit has: flagged. The server works out zone, part, class, joint, the spot in words, limit, verdict (a limited count takes in what else stands on the part), departments and "
    "method, and another number when the tag is taken. Where the van stands on the line is noted; when the department of origin comes later on it, a question is asked. Outside a walk its jobs follow at once. After signing: flagged, kept as an escape.",
    "marker_amended": "What was entered changes; place, limit and verdict are judged anew. If nobody has begun, its jobs are planned anew. A barred `method` needs `method_reason`. "
    "What is said so of an escape is kept with it.",
    "marker_withdrawn": "The marker leaves the work; jobs left empty are cancelled. An escape can be withdrawn too.",
    "marker_joined": "A double is withdrawn and points to the marker it doubles.",
    "marker_accepted": "Within its limit and S3 to S5: the marker stays as it is and blocks nothing.",
    "no_flaw_proposed": "The marker leaves its jobs until an inspector decides.",
    "no_flaw_decided": "Agreed: no flaw. Declined: its jobs are planned anew.",
    "put_right_here": "Reworked by the inspector's own hand (S4 only, a wipe or a hand polish), logged as their work: someone else clears it.",
    "marker_cleared": "Cleared, by someone who never logged work on it, after its cure.",
    "marker_sent_back": "Open again, its returns counted, its jobs planned for the next attempt.",
    "origin_revised": "The department of origin is judged, no longer assumed.",
    "photo_added": "The photo is awaited until `PUT /photos/{id}` brings its picture. After the signing: flagged, and kept all the same.",
    "photo_marked": "Arrows and rings on the photo, in place of those there were, each `form` arrow/ring · `x` `y` `x2` `y2` 0 to 1000, thousandths of its width and height; the picture itself stays as it is. By whoever took it, or an inspector.",
    "photo_removed": "The photo is out of the record; the event stays. By whoever took it, or an inspector.",
    "job_taken": "The job is this person's; its markers are in rework. A second take is flagged. Refused (`barred`): its method is barred, nobody has said why it is done all the same, and this is its first step.",
    "job_handed_back": "The job is on its department's list again, with the reason.",
    "job_rerouted": "The job is on another department's list, with the reason.",
    "step_inserted": "A step of another department comes before this one; this one waits.",
    "spot_not_found": "The marker leaves the job and a question is asked.",
    "waiting_for": "The job is set aside until a part or material comes; with `what` empty it goes on.",
    "spot_examined": "What was seen of the flaw close by stands with the marker; it decides which methods are open.",
    "method_chosen": "The job is done by another method: it has its first step, new jobs follow. Refused (`barred`): a method that is barred for one of its markers, without `reason`. With the job's own method only the reason is kept. Not once a step is done.",
    "job_pinned": "The job stands before all others on its lists, with who said so; with `pinned` no it is back in its turn.",
    "work_done": "The next step is ready; after the last one the markers are reworked and their cure runs. The minutes are shared out. Looks "
    "that the method undoes are void.",
    "timer_started": "The wait of a caution runs at a place, for everybody to see, until `minutes` after it was started. By anyone signed in, also after the signing.",
    "timer_ended": "Somebody has looked, and the timer is off every list; before its minutes are over only with a reason. It never ends by itself; of two who end it the first stays.",
    "concession_asked": "A concession waits for its names: as many as the severity asks for. Private: the reason, and who agreed for the customer. Never for an S1.",
    "concession_agreed": "One more name. With the last one the marker is conceded and leaves its jobs.",
    "concession_refused": "The marker stays in the work.",
    "gate_confirmed": "A gate is confirmed by name, with the values that water, fasteners, lamps and papers ask for (`gate_values.toml`), or taken back; or a silent tablet is passed over, with a private reason. Values that say no keep the gate blocked; work on a seal after a water test asks for another one; one that passes while a seal cures is kept only with a private reason.",
    "question_answered": "The question is settled. A marker that could not be found goes back to its department with the answer.",
    "unit_signed": "With every gate held, the PIN proved and the head as the signer saw it: the unit is closed under the next revision letter; its sheet is made. Private: the strokes.",
    "unit_reopened": "The unit is open; gate confirmations lapse; the sheet stays; escapes become jobs.",
}

MADE_BY_THE_SERVER = {
    "job_planned": (
        "`chains`: part, method, attempt, jobs in order, markers, `switched`: whose own method was barred and why",
        "Jobs are there; the first step of each chain is ready. Where a marker's method is barred the mildest open one is planned.",
    ),
    "part_judged": (
        "`part` · `catalogue` · `findings`: rule, outcome, markers, place, count, text, a circle round them",
        "What lies together on the part stands beside the markers; those of a cluster are over their limit.",
    ),
    "photo_stored": (
        "`photo` · `sha` · `bytes` · `width` · `height`",
        "The picture is cleaned and kept under its hash.",
    ),
    "photo_refused": ("`photo` · `reason`", "The picture could not be kept; the reason stays with the photo."),
    "sheet_issued": (
        "`revision` · `a4` · `letter` · `bytes`",
        "Both papers of the sheet are kept, named by their hash.",
    ),
}

OF_THE_PLANT = {
    "person_added": ("`person` · `roles` · `departments` · `state`; private: name, PIN hash", "Someone can sign in."),
    "person_changed": (
        "as `person_added`",
        "Name, roles, departments, PIN or state change. There is always one active manager.",
    ),
    "person_preferred": (
        "`person` · `language` · `formats`",
        "Someone chose for themselves how they read: a language, and the locale of numbers and dates; "
        "empty is as the plant does.",
    ),
    "tablet_admitted": (
        "`tablet` · `how` sign_in/code · [`by` person] · [`name`]",
        "A tablet has its letters: at its first sign-in, or by the code that `by` made.",
    ),
    "tablet_shut_out": ("`tablet`", "Every sign-in on the tablet has ended; what it sends is kept aside, not taken."),
    "tablet_let_in": ("`tablet`", "The tablet is let in again; what it kept is taken when it comes."),
    "tablet_named": ("`tablet` · `name`", "The tablet is called so; an empty name takes it away."),
    "ticket_issued": (
        "`ticket` · `person` · `tablet` · `roles` · `departments` · `issued_at` · `until`",
        "Someone signed in.",
    ),
    "outbox_brought": (
        "`tablet` · `file` SHA-256 · `events` ids · `vouched` ids; private: reason",
        "A manager brought in an outbox file. `vouched` were late, or of a tablet that was shut out, and are taken on the manager's word; their authors stay.",
    ),
    "catalogue_published": (
        "`hash` · `content` · `from`",
        "This catalogue is the current one, made from the version `from` by a manager (the server's own names none); older versions stay.",
    ),
    "outline_published": (
        "`hash` · `content` · [`own` yes] · [`numbers` it was made from]",
        "This outline is the current one; older versions stay. One of the plant's `own` can be chosen from now on, and is not the current one.",
    ),
    "outline_assigned": (
        "`make` · `model` · `outline` hash or none",
        "New units of this make and model are drawn on this outline; none is the current one again.",
    ),
    "outline_retired": (
        "`outline` · `retired` yes/no",
        "The outline is no longer offered and no model's; what is drawn on it stays so. Or it is offered again. The current one cannot be retired.",
    ),
    "setting_changed": ("`name` · `value`", "A setting of the plant changes."),
    "heads_anchored": ("`day` · `heads`", "The heads of all unit streams, once a day, in the chain of the plant."),
}
