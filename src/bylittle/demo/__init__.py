"""The invented caseload of Tern Bay, made by a seeded simulator."""
