"""What is shown to others: report drafts to edit and sign, exports, agreement."""
