"""The record: every case kept once, each change with its audit row, on one machine or a department's server."""
