//! Reads a case file (TOML) into a [`crate::CaseFile`], or says exactly what is wrong where.
