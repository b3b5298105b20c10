-- Devices that were admitted on the clinic's network: the hash of what each holds, never that itself; the name
-- is sealed. Not part of a backup: what is restored admits nobody.
CREATE TABLE device (
    device       BLOB   NOT NULL PRIMARY KEY,
    hash         BLOB   NOT NULL UNIQUE,
    added        BIGINT NOT NULL,
    seen         BIGINT NOT NULL,
    ended        BIGINT,
    sealed       BLOB   NOT NULL
);
