"""The whole caseload: This week, and the page of a child."""
