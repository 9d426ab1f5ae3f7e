"""What is handed out on paper: the bench sheet as a PDF, and what stands on it for every face."""
