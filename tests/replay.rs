//! Plans replayed by code that shares nothing with the code that made them.

mod mat;
