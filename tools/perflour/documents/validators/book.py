# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_book_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'book' not in data:
            raise JsonSchemaValueException
        if "book" in data:
            data__book = data["book"]
            if not (isinstance(data__book, str) and 1 <= len(data__book) <= 200):
                raise JsonSchemaValueException
        if "subtitle" in data:
            data__subtitle = data["subtitle"]
            if not (isinstance(data__subtitle, str) and 1 <= len(data__subtitle) <= 300):
                raise JsonSchemaValueException
        if "authors" in data:
            data__authors = data["authors"]
            if not isinstance(data__authors, (list, tuple)):
                raise JsonSchemaValueException
            data__authors_is_list = isinstance(data__authors, (list, tuple))
            if data__authors_is_list:
                data__authors_len = len(data__authors)
                if data__authors_len < 1:
                    raise JsonSchemaValueException
                if data__authors_len > 50:
                    raise JsonSchemaValueException
                for data__authors_x, data__authors_item in enumerate(data__authors):
                    if not (isinstance(data__authors_item, str) and 1 <= len(data__authors_item) <= 200):
                        raise JsonSchemaValueException
        if "imprint" in data:
            data__imprint = data["imprint"]
            if not isinstance(data__imprint, (list, tuple)):
                raise JsonSchemaValueException
            data__imprint_is_list = isinstance(data__imprint, (list, tuple))
            if data__imprint_is_list:
                data__imprint_len = len(data__imprint)
                if data__imprint_len < 1:
                    raise JsonSchemaValueException
                if data__imprint_len > 50:
                    raise JsonSchemaValueException
                for data__imprint_x, data__imprint_item in enumerate(data__imprint):
                    if not (isinstance(data__imprint_item, str) and 1 <= len(data__imprint_item) <= 5000):
                        raise JsonSchemaValueException
        if "foreword" in data:
            data__foreword = data["foreword"]
            if not isinstance(data__foreword, (list, tuple)):
                raise JsonSchemaValueException
            data__foreword_is_list = isinstance(data__foreword, (list, tuple))
            if data__foreword_is_list:
                data__foreword_len = len(data__foreword)
                if data__foreword_len < 1:
                    raise JsonSchemaValueException
                if data__foreword_len > 100:
                    raise JsonSchemaValueException
                for data__foreword_x, data__foreword_item in enumerate(data__foreword):
                    if not (isinstance(data__foreword_item, str) and 1 <= len(data__foreword_item) <= 5000):
                        raise JsonSchemaValueException
        if "language" in data:
            data__language = data["language"]
            if not (isinstance(data__language, str) and data__language == 'en' or isinstance(data__language, str) and data__language == 'de'):
                raise JsonSchemaValueException
        if "words" in data:
            data__words = data["words"]
            if not isinstance(data__words, (dict)):
                raise JsonSchemaValueException
            data__words_is_dict = isinstance(data__words, dict)
            if data__words_is_dict:
                data__words_keys = set(data__words.keys())
                if "de" in data__words_keys:
                    data__words_keys.remove("de")
                    data__words__de = data__words["de"]
                    if not isinstance(data__words__de, (dict)):
                        raise JsonSchemaValueException
                    data__words__de_is_dict = isinstance(data__words__de, dict)
                    if data__words__de_is_dict:
                        data__words__de_len = len(data__words__de)
                        if data__words__de_len > 5000:
                            raise JsonSchemaValueException
                        data__words__de_keys = set(data__words__de.keys())
                        for data__words__de_key in data__words__de_keys:
                            if data__words__de_key not in []:
                                data__words__de_value = data__words__de.get(data__words__de_key)
                                if not (isinstance(data__words__de_value, str) and 1 <= len(data__words__de_value) <= 5000):
                                    raise JsonSchemaValueException
                if data__words_keys:
                    raise JsonSchemaValueException
        if "paper" in data:
            data__paper = data["paper"]
            if not (isinstance(data__paper, str) and data__paper == 'a4' or isinstance(data__paper, str) and data__paper == 'a5' or isinstance(data__paper, str) and data__paper == 'us-letter'):
                raise JsonSchemaValueException
        if "amounts" in data:
            data__amounts = data["amounts"]
            if not (isinstance(data__amounts, str) and data__amounts == 'both' or isinstance(data__amounts, str) and data__amounts == 'grams' or isinstance(data__amounts, str) and data__amounts == 'household'):
                raise JsonSchemaValueException
        if "measures" in data:
            data__measures = data["measures"]
            if not isinstance(data__measures, (dict)):
                raise JsonSchemaValueException
            data__measures_is_dict = isinstance(data__measures, dict)
            if data__measures_is_dict:
                data__measures_keys = set(data__measures.keys())
                if "cups" in data__measures_keys:
                    data__measures_keys.remove("cups")
                    data__measures__cups = data__measures["cups"]
                    if not isinstance(data__measures__cups, (list, tuple)):
                        raise JsonSchemaValueException
                    data__measures__cups_is_list = isinstance(data__measures__cups, (list, tuple))
                    if data__measures__cups_is_list:
                        data__measures__cups_len = len(data__measures__cups)
                        if data__measures__cups_len > 8:
                            raise JsonSchemaValueException
                        def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                        if data__measures__cups_len > len(set(fn(data__measures__cups_x) for data__measures__cups_x in data__measures__cups)):
                            raise JsonSchemaValueException
                        for data__measures__cups_x, data__measures__cups_item in enumerate(data__measures__cups):
                            if not (isinstance(data__measures__cups_item, str) and data__measures__cups_item == '1' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '3/4' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '2/3' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '1/2' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '1/3' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '1/4' or isinstance(data__measures__cups_item, str) and data__measures__cups_item == '1/8'):
                                raise JsonSchemaValueException
                if "teaspoons" in data__measures_keys:
                    data__measures_keys.remove("teaspoons")
                    data__measures__teaspoons = data__measures["teaspoons"]
                    if not isinstance(data__measures__teaspoons, (list, tuple)):
                        raise JsonSchemaValueException
                    data__measures__teaspoons_is_list = isinstance(data__measures__teaspoons, (list, tuple))
                    if data__measures__teaspoons_is_list:
                        data__measures__teaspoons_len = len(data__measures__teaspoons)
                        if data__measures__teaspoons_len < 1:
                            raise JsonSchemaValueException
                        if data__measures__teaspoons_len > 6:
                            raise JsonSchemaValueException
                        def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                        if data__measures__teaspoons_len > len(set(fn(data__measures__teaspoons_x) for data__measures__teaspoons_x in data__measures__teaspoons)):
                            raise JsonSchemaValueException
                        for data__measures__teaspoons_x, data__measures__teaspoons_item in enumerate(data__measures__teaspoons):
                            if not (isinstance(data__measures__teaspoons_item, str) and data__measures__teaspoons_item == '1' or isinstance(data__measures__teaspoons_item, str) and data__measures__teaspoons_item == '3/4' or isinstance(data__measures__teaspoons_item, str) and data__measures__teaspoons_item == '1/2' or isinstance(data__measures__teaspoons_item, str) and data__measures__teaspoons_item == '1/4' or isinstance(data__measures__teaspoons_item, str) and data__measures__teaspoons_item == '1/8'):
                                raise JsonSchemaValueException
                if "near" in data__measures_keys:
                    data__measures_keys.remove("near")
                    data__measures__near = data__measures["near"]
                    if not isinstance(data__measures__near, (int, float)) or isinstance(data__measures__near, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__measures__near, (int, float)) and not isinstance(data__measures__near, bool):
                        if data__measures__near < 0:
                            raise JsonSchemaValueException
                        if data__measures__near > 5:
                            raise JsonSchemaValueException
                if "scant" in data__measures_keys:
                    data__measures_keys.remove("scant")
                    data__measures__scant = data__measures["scant"]
                    if not isinstance(data__measures__scant, (int, float)) or isinstance(data__measures__scant, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__measures__scant, (int, float)) and not isinstance(data__measures__scant, bool):
                        if data__measures__scant < 0:
                            raise JsonSchemaValueException
                        if data__measures__scant > 10:
                            raise JsonSchemaValueException
                if data__measures_keys:
                    raise JsonSchemaValueException
        if "story" in data:
            data__story = data["story"]
            if not isinstance(data__story, (bool)):
                raise JsonSchemaValueException
        if "index-without" in data:
            data__indexwithout = data["index-without"]
            if not isinstance(data__indexwithout, (list, tuple)):
                raise JsonSchemaValueException
            data__indexwithout_is_list = isinstance(data__indexwithout, (list, tuple))
            if data__indexwithout_is_list:
                data__indexwithout_len = len(data__indexwithout)
                if data__indexwithout_len > 200:
                    raise JsonSchemaValueException
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                if data__indexwithout_len > len(set(fn(data__indexwithout_x) for data__indexwithout_x in data__indexwithout)):
                    raise JsonSchemaValueException
                for data__indexwithout_x, data__indexwithout_item in enumerate(data__indexwithout):
                    if not (isinstance(data__indexwithout_item, str) and 1 <= len(data__indexwithout_item) <= 200):
                        raise JsonSchemaValueException
        if "chapters" in data:
            data__chapters = data["chapters"]
            if not isinstance(data__chapters, (dict)):
                raise JsonSchemaValueException
            data__chapters_is_dict = isinstance(data__chapters, dict)
            if data__chapters_is_dict:
                data__chapters_keys = set(data__chapters.keys())
                for data__chapters_key in data__chapters_keys:
                    if data__chapters_key not in []:
                        data__chapters_value = data__chapters.get(data__chapters_key)
                        if not (isinstance(data__chapters_value, str) and 1 <= len(data__chapters_value) <= 5000):
                            raise JsonSchemaValueException
                data__chapters_len = len(data__chapters)
                if data__chapters_len != 0:
                    data__chapters_property_names = True
                    for data__chapters_key in data__chapters:
                        try:
                            if isinstance(data__chapters_key, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__chapters_key):
                                    raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__chapters_property_names = False
                    if not data__chapters_property_names:
                        raise JsonSchemaValueException
        if "formulas" in data:
            data__formulas = data["formulas"]
            if not isinstance(data__formulas, (dict)):
                raise JsonSchemaValueException
            data__formulas_is_dict = isinstance(data__formulas, dict)
            if data__formulas_is_dict:
                data__formulas_keys = set(data__formulas.keys())
                for data__formulas_key in data__formulas_keys:
                    if data__formulas_key not in []:
                        data__formulas_value = data__formulas.get(data__formulas_key)
                        if not isinstance(data__formulas_value, (dict)):
                            raise JsonSchemaValueException
                        data__formulas_value_is_dict = isinstance(data__formulas_value, dict)
                        if data__formulas_value_is_dict:
                            data__formulas_value_keys = set(data__formulas_value.keys())
                            if "variations" in data__formulas_value_keys:
                                data__formulas_value_keys.remove("variations")
                                data__formulas_value__variations = data__formulas_value["variations"]
                                if not isinstance(data__formulas_value__variations, (list, tuple)):
                                    raise JsonSchemaValueException
                                data__formulas_value__variations_is_list = isinstance(data__formulas_value__variations, (list, tuple))
                                if data__formulas_value__variations_is_list:
                                    data__formulas_value__variations_len = len(data__formulas_value__variations)
                                    if data__formulas_value__variations_len < 1:
                                        raise JsonSchemaValueException
                                    if data__formulas_value__variations_len > 20:
                                        raise JsonSchemaValueException
                                    for data__formulas_value__variations_x, data__formulas_value__variations_item in enumerate(data__formulas_value__variations):
                                        if not (isinstance(data__formulas_value__variations_item, str) and 1 <= len(data__formulas_value__variations_item) <= 5000):
                                            raise JsonSchemaValueException
                            if "story" in data__formulas_value_keys:
                                data__formulas_value_keys.remove("story")
                                data__formulas_value__story = data__formulas_value["story"]
                                if not isinstance(data__formulas_value__story, (bool)):
                                    raise JsonSchemaValueException
                            if data__formulas_value_keys:
                                raise JsonSchemaValueException
                data__formulas_len = len(data__formulas)
                if data__formulas_len != 0:
                    data__formulas_property_names = True
                    for data__formulas_key in data__formulas:
                        try:
                            if isinstance(data__formulas_key, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__formulas_key):
                                    raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__formulas_property_names = False
                    if not data__formulas_property_names:
                        raise JsonSchemaValueException
        if "look" in data:
            data__look = data["look"]
            if not isinstance(data__look, (dict)):
                raise JsonSchemaValueException
            data__look_is_dict = isinstance(data__look, dict)
            if data__look_is_dict:
                data__look_keys = set(data__look.keys())
                if "text-font" in data__look_keys:
                    data__look_keys.remove("text-font")
                    data__look__textfont = data__look["text-font"]
                    if not (isinstance(data__look__textfont, str) and data__look__textfont == 'Libertinus Serif' or isinstance(data__look__textfont, str) and data__look__textfont == 'New Computer Modern'):
                        raise JsonSchemaValueException
                if "heading-font" in data__look_keys:
                    data__look_keys.remove("heading-font")
                    data__look__headingfont = data__look["heading-font"]
                    if not (isinstance(data__look__headingfont, str) and data__look__headingfont == 'Libertinus Serif' or isinstance(data__look__headingfont, str) and data__look__headingfont == 'New Computer Modern'):
                        raise JsonSchemaValueException
                if "text-size" in data__look_keys:
                    data__look_keys.remove("text-size")
                    data__look__textsize = data__look["text-size"]
                    if not isinstance(data__look__textsize, (int, float)) or isinstance(data__look__textsize, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__look__textsize, (int, float)) and not isinstance(data__look__textsize, bool):
                        if data__look__textsize < 9:
                            raise JsonSchemaValueException
                        if data__look__textsize > 14:
                            raise JsonSchemaValueException
                if "accent" in data__look_keys:
                    data__look_keys.remove("accent")
                    data__look__accent = data__look["accent"]
                    if not isinstance(data__look__accent, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__look__accent, str):
                        if not re.search('^#[0-9a-f]{6}\\Z', data__look__accent):
                            raise JsonSchemaValueException
                if "accent-dark" in data__look_keys:
                    data__look_keys.remove("accent-dark")
                    data__look__accentdark = data__look["accent-dark"]
                    if not isinstance(data__look__accentdark, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__look__accentdark, str):
                        if not re.search('^#[0-9a-f]{6}\\Z', data__look__accentdark):
                            raise JsonSchemaValueException
                if data__look_keys:
                    raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"book", "subtitle", "authors", "imprint", "foreword", "language", "words", "paper", "amounts", "measures", "story", "index-without", "chapters", "formulas", "look"}:
                raise JsonSchemaValueException
    return data

validate = validate_book_schema_json
