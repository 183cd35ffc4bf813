"""What happened? Intents, events and the state they fold into; no clock, no disk, no screen."""
