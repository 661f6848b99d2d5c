"""What people take away from a plan: drawings, charts and the offline HTML report."""
