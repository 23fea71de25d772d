"""Fills a form by poppler as a viewer that stands on it does: fill.py IN OUT VALUES.json

VALUES maps names of fields to a text, true, or which of several boxes it is, from 0 in the order of the page.
"""
import json
import pathlib
import sys

import gi

gi.require_version("Poppler", "0.18")
from gi.repository import Gio, Poppler  # noqa: E402

source, target, values = sys.argv[1:]
wanted = json.load(open(values, encoding="utf-8"))
document = Poppler.Document.new_from_gfile(Gio.File.new_for_path(source), None, None)
boxes = {}  # how many of a name were met
for number in range(document.get_n_pages()):
    mappings = list(document.get_page(number).get_form_field_mapping())
    for mapping in reversed(mappings):  # poppler gives the last first
        field = mapping.field
        kind = field.get_field_type()
        name = field.get_name()
        value = wanted.get(name)
        if value is None:
            continue
        if kind == Poppler.FormFieldType.TEXT:
            field.text_set_text(value)
        elif kind == Poppler.FormFieldType.CHOICE:
            options = [field.choice_get_item(i) for i in range(field.choice_get_n_items())]
            field.choice_select_item(options.index(value))
        else:
            if value is True or boxes.get(name, 0) == value:
                field.button_set_state(True)
            boxes[name] = boxes.get(name, 0) + 1
document.save(pathlib.Path(target).absolute().as_uri())
