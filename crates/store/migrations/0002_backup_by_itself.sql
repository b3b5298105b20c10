-- Which backups nobody asked for: only these are removed again, when newer ones have come.
CREATE TABLE backup_by_itself (
    at           BIGINT NOT NULL PRIMARY KEY
);
