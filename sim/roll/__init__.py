"""The time-step core: forces, contacts, pilot, integrator, events, result. SI floats only."""
