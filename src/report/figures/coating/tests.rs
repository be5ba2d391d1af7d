//! The drawings of the coating.
