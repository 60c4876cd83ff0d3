"""Drafts as they were last read and approved, and the means to compare and to approve them one by one."""
