"""Other shapes of things: each form in the file is the thing itself, overruled by what the form says."""

from __future__ import annotations

from layout.files.catalogue import laid_over
from layout.files.nodes import Group


def with_forms(nodes: Group) -> None:
    """Lay every form over its thing, so that a form is read as a whole thing; `use:` is unfolded already."""
    things, forms = nodes.get("things"), nodes.get("forms")
    if not isinstance(things, Group) or not isinstance(forms, Group):
        return
    for name, group in forms.items():
        thing = things.get(name)
        if isinstance(thing, Group) and isinstance(group, Group):
            for form, said in group.items():
                if isinstance(said, Group):
                    group[form] = laid_over(thing, said)
