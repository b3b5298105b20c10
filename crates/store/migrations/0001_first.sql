-- What one file of records holds. Names of columns say what they are; everything personal is in a
-- column named `sealed` or `wrapped`. Times are milliseconds since 1970 in universal time.

CREATE TABLE header (
    one          BIGINT NOT NULL PRIMARY KEY,
    store        BLOB   NOT NULL,
    created      BIGINT NOT NULL,
    salt         BLOB   NOT NULL,
    memory_kib   BIGINT NOT NULL,
    passes       BIGINT NOT NULL,
    lanes        BIGINT NOT NULL
);

-- The master key, wrapped once for each account and once for the recovery key.
CREATE TABLE access (
    account      BLOB   NOT NULL PRIMARY KEY,
    tag          BLOB   NOT NULL UNIQUE,
    wrapped      BLOB   NOT NULL
);

-- One key for each person and one for the clinic, wrapped by the master key.
CREATE TABLE person (
    person       BLOB   NOT NULL PRIMARY KEY,
    once         BLOB   NOT NULL UNIQUE,
    created      BIGINT NOT NULL,
    wrapped      BLOB   NOT NULL
);

CREATE TABLE tombstone (
    person       BLOB   NOT NULL PRIMARY KEY,
    at           BIGINT NOT NULL,
    account      BLOB   NOT NULL,
    sealed       BLOB   NOT NULL
);

CREATE TABLE record (
    person       BLOB   NOT NULL,
    seq          BIGINT NOT NULL,
    id           BLOB   NOT NULL UNIQUE,
    once         BLOB   NOT NULL UNIQUE,
    kind         TEXT   NOT NULL,
    shape        BIGINT NOT NULL,
    origin       BIGINT NOT NULL,
    at           BIGINT NOT NULL,
    account      BLOB   NOT NULL,
    role         TEXT   NOT NULL,
    sealed       BLOB   NOT NULL,
    PRIMARY KEY (person, seq)
) WITHOUT ROWID;

-- The records of one person and kind, each original followed by what corrects it.
CREATE INDEX record_by_kind ON record (person, kind, origin, seq);

-- Derived: a copy of the newest record of each kind of each person, side by side for lists: read from
-- the table of records they would be ten thousand places on the disk.
CREATE TABLE latest (
    kind         TEXT   NOT NULL,
    person       BLOB   NOT NULL,
    seq          BIGINT NOT NULL,
    id           BLOB   NOT NULL,
    shape        BIGINT NOT NULL,
    origin       BIGINT NOT NULL,
    at           BIGINT NOT NULL,
    account      BLOB   NOT NULL,
    role         TEXT   NOT NULL,
    sealed       BLOB   NOT NULL,
    PRIMARY KEY (kind, person)
) WITHOUT ROWID;

-- Derived: the records of students that no clinician has answered yet.
CREATE TABLE awaiting (
    person       BLOB   NOT NULL,
    seq          BIGINT NOT NULL,
    origin       BIGINT NOT NULL,
    PRIMARY KEY (person, seq)
) WITHOUT ROWID;

CREATE TABLE audit (
    seq          BIGINT NOT NULL PRIMARY KEY,
    at           BIGINT NOT NULL,
    account      BLOB   NOT NULL,
    action       TEXT   NOT NULL,
    person       BLOB   NOT NULL,
    sealed       BLOB   NOT NULL,
    hash         BLOB   NOT NULL
) WITHOUT ROWID;

CREATE INDEX audit_by_person ON audit (person, seq);

-- Where the chain ends, and the last end that somebody signed in has sealed.
CREATE TABLE audit_head (
    one          BIGINT NOT NULL PRIMARY KEY,
    length       BIGINT NOT NULL,
    hash         BLOB   NOT NULL,
    sealed_length BIGINT NOT NULL,
    sealed       BLOB   NOT NULL
);

-- Failed sign-ins, in sixteen counters that say nothing about names.
CREATE TABLE attempt (
    bucket       BIGINT NOT NULL PRIMARY KEY,
    failures     BIGINT NOT NULL,
    last         BIGINT NOT NULL
);

-- When a backup was made and read back, how long the audit was then, and (sealed) where it lies.
CREATE TABLE backup (
    at           BIGINT NOT NULL PRIMARY KEY,
    length       BIGINT NOT NULL,
    hash         BLOB   NOT NULL,
    sealed       BLOB   NOT NULL
);
