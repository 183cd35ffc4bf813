"""Settings that every test shares."""
