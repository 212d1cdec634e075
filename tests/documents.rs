//! Tests: documents.
