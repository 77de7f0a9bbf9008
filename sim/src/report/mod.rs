//! What a job leaves behind: CSV files, a summary, and one self-contained HTML report.
