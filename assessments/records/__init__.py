"""What results add up to: the student's record, the cohort's skills, and what might have been."""
