//! HTTP only: decode, ask, show.
