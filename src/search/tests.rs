//! What questions and remarks are cut into, as tables.
