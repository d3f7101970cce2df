"""What a definition says, in words."""

from django import template

from rubric.definition import wording

register = template.Library()
register.filter("exact", wording.exact)
register.filter("effect", wording.effect)
