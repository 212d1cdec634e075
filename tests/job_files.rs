//! Tests: job_files.
