"""Bylittle: brings one skill, by little and little, from 'someone does it for me' to 'I do it alone'."""
