"""What is measured on the table changes the virtual legs: the same legs, weighed anew."""
