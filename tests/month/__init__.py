"""Tests of dashboard/month."""
