-- +goose Up

-- Everything that came from outside. A document is the truth; the columns
-- beside it are for finding and can be made again from it.

CREATE TABLE person (
    id      TEXT NOT NULL PRIMARY KEY,
    doc     BLOB NOT NULL,
    origin  BLOB NOT NULL,
    -- version counts the changes of the whole record, facts and exams included.
    version INTEGER NOT NULL,
    -- stale is 1 while the derived rows are older than the record.
    stale   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX person_stale ON person (stale, id);

-- Who was merged into whom, in the end: made from the documents of people.
CREATE TABLE merged (
    old      TEXT NOT NULL PRIMARY KEY,
    survivor TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX merged_survivor ON merged (survivor);

-- What each document of a person says of merging, in both directions.
CREATE TABLE merge_link (
    said_by TEXT NOT NULL REFERENCES person (id) ON DELETE CASCADE,
    old     TEXT NOT NULL,
    new     TEXT NOT NULL,
    -- own is 1 where the old record says so itself.
    own     INTEGER NOT NULL,
    PRIMARY KEY (said_by, old, new, own)
) STRICT, WITHOUT ROWID;

-- A fact may come before its person, so person is no foreign key. The order of
-- the key is the order of reading: one walk joins facts to people.
CREATE TABLE fact (
    person TEXT NOT NULL,
    key    TEXT NOT NULL,
    kind   INTEGER NOT NULL,
    -- start is the first day it may mean; 0 is no date.
    start  INTEGER NOT NULL,
    doc    BLOB NOT NULL,
    source INTEGER NOT NULL REFERENCES origin (id),
    line   INTEGER NOT NULL,
    PRIMARY KEY (person, key)
) STRICT, WITHOUT ROWID;

CREATE TABLE origin (
    id     INTEGER PRIMARY KEY,
    source TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE aside (
    id       INTEGER PRIMARY KEY,
    digest   BLOB NOT NULL UNIQUE,
    file     TEXT NOT NULL,
    line     INTEGER NOT NULL,
    resource TEXT NOT NULL,
    reason   TEXT NOT NULL,
    raw      BLOB NOT NULL
) STRICT;

-- What was entered here.

CREATE TABLE draft (
    id       TEXT NOT NULL PRIMARY KEY,
    person   TEXT NOT NULL REFERENCES person (id),
    revision INTEGER NOT NULL,
    doc      BLOB NOT NULL,
    saved_by TEXT NOT NULL,
    -- saved counts up, so that the newest draft comes first.
    saved    INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX draft_person ON draft (person, saved);

-- A draft that somebody else wrote over, or that a signature came before.
CREATE TABLE draft_past (
    n        INTEGER PRIMARY KEY,
    id       TEXT NOT NULL,
    person   TEXT NOT NULL,
    revision INTEGER NOT NULL,
    doc      BLOB NOT NULL,
    saved_by TEXT NOT NULL
) STRICT;

CREATE TABLE exam (
    id       TEXT NOT NULL,
    revision INTEGER NOT NULL,
    person   TEXT NOT NULL REFERENCES person (id),
    -- newest is 1 for the last revision of each exam.
    newest   INTEGER NOT NULL,
    doc      BLOB NOT NULL,
    PRIMARY KEY (id, revision)
) STRICT;

CREATE INDEX exam_person ON exam (person, id) WHERE newest = 1;

-- One row for each request that signed, so that a repeated request is answered
-- and not done again.
CREATE TABLE request (
    key      TEXT NOT NULL PRIMARY KEY,
    content  TEXT NOT NULL,
    exam     TEXT NOT NULL,
    revision INTEGER NOT NULL,
    FOREIGN KEY (exam, revision) REFERENCES exam (id, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE referral (
    person TEXT NOT NULL REFERENCES person (id),
    id     TEXT NOT NULL,
    due    INTEGER NOT NULL,
    closed INTEGER NOT NULL,
    steps  INTEGER NOT NULL,
    doc    BLOB NOT NULL,
    PRIMARY KEY (person, id)
) STRICT, WITHOUT ROWID;

CREATE INDEX referral_open ON referral (due, person, id) WHERE closed = 0;

-- What is derived from a record. Nothing here is the only place of a fact.

CREATE TABLE standing (
    person        TEXT NOT NULL PRIMARY KEY REFERENCES person (id) ON DELETE CASCADE,
    place         INTEGER NOT NULL,
    -- search is family, given and id, folded: no case, no accents.
    search        TEXT NOT NULL,
    -- panel is 1 for people of the diabetes panel, watched 1 for those called.
    panel         INTEGER NOT NULL,
    watched       INTEGER NOT NULL,
    due           INTEGER NOT NULL,
    overdue_after INTEGER NOT NULL,
    last_exam     INTEGER NOT NULL,
    risk_low      INTEGER NOT NULL,
    risk_high     INTEGER NOT NULL,
    next_visit    INTEGER NOT NULL,
    clinician     TEXT NOT NULL,
    site          TEXT NOT NULL,
    open_ulcers   INTEGER NOT NULL,
    -- until is the first day on which the row must be made anew; 0 is never.
    until         INTEGER NOT NULL,
    doc           BLOB NOT NULL
) STRICT;

-- A list is chosen from one of the first three alone; their tails hold what a
-- list can be filtered by.
CREATE INDEX standing_place ON standing (place, person, due, watched, panel, clinician, site, search);
CREATE INDEX standing_due ON standing (watched, due, place, person, panel, clinician, site, search);
CREATE INDEX standing_search ON standing (search, person, due, watched, panel, clinician, site);
CREATE INDEX standing_counts ON standing (panel, watched, risk_low, risk_high, due, overdue_after, last_exam);
CREATE INDEX standing_ulcers ON standing (open_ulcers DESC, place, person, watched);
CREATE INDEX standing_visit ON standing (next_visit) WHERE next_visit > 0;
CREATE INDEX standing_until ON standing (until) WHERE until > 0;

CREATE TABLE ulcer (
    person TEXT NOT NULL REFERENCES standing (person) ON DELETE CASCADE,
    n      INTEGER NOT NULL,
    first  INTEGER NOT NULL,
    doc    BLOB NOT NULL,
    PRIMARY KEY (person, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE measured (
    measure     TEXT NOT NULL,
    year        INTEGER NOT NULL,
    person      TEXT NOT NULL REFERENCES standing (person) ON DELETE CASCADE,
    initial     INTEGER NOT NULL,
    denominator INTEGER NOT NULL,
    exclusion   INTEGER NOT NULL,
    exception   INTEGER NOT NULL,
    numerator   INTEGER NOT NULL,
    doubtful    INTEGER NOT NULL,
    doc         BLOB NOT NULL,
    PRIMARY KEY (measure, year, person)
) STRICT, WITHOUT ROWID;

CREATE INDEX measured_person ON measured (person);
CREATE INDEX measured_tally ON measured (measure, year, initial, denominator, exclusion, exception, numerator, doubtful);

-- The practice.

CREATE TABLE setting (
    key   TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE audit (
    n      INTEGER PRIMARY KEY AUTOINCREMENT,
    at     TEXT NOT NULL,
    who    TEXT NOT NULL,
    did    TEXT NOT NULL,
    person TEXT NOT NULL,
    object TEXT NOT NULL
) STRICT;

CREATE TABLE account (
    id     TEXT NOT NULL PRIMARY KEY,
    name   TEXT NOT NULL,
    role   TEXT NOT NULL,
    hash   TEXT NOT NULL,
    closed INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- token is a digest: a stolen file opens no session.
CREATE TABLE session (
    token   TEXT NOT NULL PRIMARY KEY,
    data    BLOB NOT NULL,
    -- expires is in milliseconds since 1970 UTC.
    expires INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
