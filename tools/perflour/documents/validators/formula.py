# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


REGEX_PATTERNS = {
    '^[a-z0-9]+(-[a-z0-9]+)*$': re.compile('^[a-z0-9]+(-[a-z0-9]+)*\\Z')
}

NoneType = type(None)

def validate_formula_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'formula', 'title', 'class', 'status', 'parts', 'method'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "formula" in data_keys:
            data_keys.remove("formula")
            data__formula = data["formula"]
            if not isinstance(data__formula, (str)):
                raise JsonSchemaValueException
            if isinstance(data__formula, str):
                data__formula_len = len(data__formula)
                if data__formula_len > 80:
                    raise JsonSchemaValueException
                if not REGEX_PATTERNS['^[a-z0-9]+(-[a-z0-9]+)*$'].search(data__formula):
                    raise JsonSchemaValueException
        if "title" in data_keys:
            data_keys.remove("title")
            data__title = data["title"]
            if not isinstance(data__title, (str)):
                raise JsonSchemaValueException
            if isinstance(data__title, str):
                data__title_len = len(data__title)
                if data__title_len < 1:
                    raise JsonSchemaValueException
                if data__title_len > 200:
                    raise JsonSchemaValueException
        if "class" in data_keys:
            data_keys.remove("class")
            data__class = data["class"]
            if not isinstance(data__class, (str)):
                raise JsonSchemaValueException
            if isinstance(data__class, str):
                data__class_len = len(data__class)
                if data__class_len < 1:
                    raise JsonSchemaValueException
                if data__class_len > 80:
                    raise JsonSchemaValueException
        if "status" in data_keys:
            data_keys.remove("status")
            data__status = data["status"]
            if not (isinstance(data__status, str) and data__status == 'draft' or isinstance(data__status, str) and data__status == 'testing' or isinstance(data__status, str) and data__status == 'approved' or isinstance(data__status, str) and data__status == 'retired' or isinstance(data__status, str) and data__status == 'reference'):
                raise JsonSchemaValueException
        if "origin" in data_keys:
            data_keys.remove("origin")
            data__origin = data["origin"]
            if not (isinstance(data__origin, str) and data__origin == 'own' or isinstance(data__origin, str) and data__origin == 'adapted'):
                raise JsonSchemaValueException
        if "citation" in data_keys:
            data_keys.remove("citation")
            data__citation = data["citation"]
            if not isinstance(data__citation, (str)):
                raise JsonSchemaValueException
            if isinstance(data__citation, str):
                data__citation_len = len(data__citation)
                if data__citation_len < 1:
                    raise JsonSchemaValueException
                if data__citation_len > 1000:
                    raise JsonSchemaValueException
        if "notes" in data_keys:
            data_keys.remove("notes")
            data__notes = data["notes"]
            if not isinstance(data__notes, (str)):
                raise JsonSchemaValueException
            if isinstance(data__notes, str):
                data__notes_len = len(data__notes)
                if data__notes_len > 10000:
                    raise JsonSchemaValueException
        if "allergens" in data_keys:
            data_keys.remove("allergens")
            data__allergens = data["allergens"]
            if not isinstance(data__allergens, (list, tuple)):
                raise JsonSchemaValueException
            data__allergens_is_list = isinstance(data__allergens, (list, tuple))
            if data__allergens_is_list:
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                data__allergens_len = len(data__allergens)
                if data__allergens_len > len(set(fn(data__allergens_x) for data__allergens_x in data__allergens)):
                    raise JsonSchemaValueException
                for data__allergens_x, data__allergens_item in enumerate(data__allergens):
                    if not isinstance(data__allergens_item, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__allergens_item, str):
                        data__allergens_item_len = len(data__allergens_item)
                        if data__allergens_item_len < 1:
                            raise JsonSchemaValueException
                        if data__allergens_item_len > 200:
                            raise JsonSchemaValueException
        if "measures" in data_keys:
            data_keys.remove("measures")
            data__measures = data["measures"]
            if not (isinstance(data__measures, str) and data__measures == 'us' or isinstance(data__measures, str) and data__measures == 'uk' or isinstance(data__measures, str) and data__measures == 'metric' or isinstance(data__measures, str) and data__measures == 'australian'):
                raise JsonSchemaValueException
        if "eggs" in data_keys:
            data_keys.remove("eggs")
            data__eggs = data["eggs"]
            if not (isinstance(data__eggs, str) and data__eggs == 'us' or isinstance(data__eggs, str) and data__eggs == 'eu' or isinstance(data__eggs, str) and data__eggs == 'uk' or isinstance(data__eggs, str) and data__eggs == 'australian'):
                raise JsonSchemaValueException
        if "basis" in data_keys:
            data_keys.remove("basis")
            data__basis = data["basis"]
            if not isinstance(data__basis, (list, tuple)):
                raise JsonSchemaValueException
            data__basis_is_list = isinstance(data__basis, (list, tuple))
            if data__basis_is_list:
                data__basis_len = len(data__basis)
                if data__basis_len < 1:
                    raise JsonSchemaValueException
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                if data__basis_len > len(set(fn(data__basis_x) for data__basis_x in data__basis)):
                    raise JsonSchemaValueException
                for data__basis_x, data__basis_item in enumerate(data__basis):
                    validate_formula_schema_json___defs_name(data__basis_item)
        if "yield" in data_keys:
            data_keys.remove("yield")
            data__yield = data["yield"]
            validate_formula_schema_json___defs_yield(data__yield)
        if "parts" in data_keys:
            data_keys.remove("parts")
            data__parts = data["parts"]
            if not isinstance(data__parts, (list, tuple)):
                raise JsonSchemaValueException
            data__parts_is_list = isinstance(data__parts, (list, tuple))
            if data__parts_is_list:
                data__parts_len = len(data__parts)
                if data__parts_len < 1:
                    raise JsonSchemaValueException
                if data__parts_len > 200:
                    raise JsonSchemaValueException
                for data__parts_x, data__parts_item in enumerate(data__parts):
                    validate_formula_schema_json___defs_part(data__parts_item)
        if "method" in data_keys:
            data_keys.remove("method")
            data__method = data["method"]
            if not isinstance(data__method, (list, tuple)):
                raise JsonSchemaValueException
            data__method_is_list = isinstance(data__method, (list, tuple))
            if data__method_is_list:
                data__method_len = len(data__method)
                if data__method_len > 2000:
                    raise JsonSchemaValueException
                for data__method_x, data__method_item in enumerate(data__method):
                    validate_formula_schema_json___defs_step(data__method_item)
        if "waivers" in data_keys:
            data_keys.remove("waivers")
            data__waivers = data["waivers"]
            if not isinstance(data__waivers, (list, tuple)):
                raise JsonSchemaValueException
            data__waivers_is_list = isinstance(data__waivers, (list, tuple))
            if data__waivers_is_list:
                data__waivers_len = len(data__waivers)
                if data__waivers_len > 1000:
                    raise JsonSchemaValueException
                for data__waivers_x, data__waivers_item in enumerate(data__waivers):
                    validate_formula_schema_json___defs_waiver(data__waivers_item)
        if "corrections" in data_keys:
            data_keys.remove("corrections")
            data__corrections = data["corrections"]
            if not isinstance(data__corrections, (list, tuple)):
                raise JsonSchemaValueException
            data__corrections_is_list = isinstance(data__corrections, (list, tuple))
            if data__corrections_is_list:
                data__corrections_len = len(data__corrections)
                if data__corrections_len > 200:
                    raise JsonSchemaValueException
                for data__corrections_x, data__corrections_item in enumerate(data__corrections):
                    validate_formula_schema_json___defs_correction(data__corrections_item)
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_correction(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'because' not in data:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "item" in data_keys:
            data_keys.remove("item")
            data__item = data["item"]
            if not isinstance(data__item, (str)):
                raise JsonSchemaValueException
            if isinstance(data__item, str):
                data__item_len = len(data__item)
                if data__item_len < 1:
                    raise JsonSchemaValueException
                if data__item_len > 200:
                    raise JsonSchemaValueException
        if "because" in data_keys:
            data_keys.remove("because")
            data__because = data["because"]
            if not isinstance(data__because, (str)):
                raise JsonSchemaValueException
            if isinstance(data__because, str):
                data__because_len = len(data__because)
                if data__because_len < 1:
                    raise JsonSchemaValueException
                if data__because_len > 1000:
                    raise JsonSchemaValueException
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_waiver(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'rule', 'because'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "rule" in data_keys:
            data_keys.remove("rule")
            data__rule = data["rule"]
            if not isinstance(data__rule, (str)):
                raise JsonSchemaValueException
            if isinstance(data__rule, str):
                if not REGEX_PATTERNS['^[a-z0-9]+(-[a-z0-9]+)*$'].search(data__rule):
                    raise JsonSchemaValueException
        if "item" in data_keys:
            data_keys.remove("item")
            data__item = data["item"]
            if not isinstance(data__item, (str)):
                raise JsonSchemaValueException
            if isinstance(data__item, str):
                data__item_len = len(data__item)
                if data__item_len < 1:
                    raise JsonSchemaValueException
                if data__item_len > 200:
                    raise JsonSchemaValueException
        if "because" in data_keys:
            data_keys.remove("because")
            data__because = data["because"]
            if not isinstance(data__because, (str)):
                raise JsonSchemaValueException
            if isinstance(data__because, str):
                data__because_len = len(data__because)
                if data__because_len < 1:
                    raise JsonSchemaValueException
                if data__because_len > 1000:
                    raise JsonSchemaValueException
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_step(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'do' not in data:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "do" in data_keys:
            data_keys.remove("do")
            data__do = data["do"]
            if not isinstance(data__do, (str)):
                raise JsonSchemaValueException
            if isinstance(data__do, str):
                data__do_len = len(data__do)
                if data__do_len < 1:
                    raise JsonSchemaValueException
                if data__do_len > 80:
                    raise JsonSchemaValueException
        if "uses" in data_keys:
            data_keys.remove("uses")
            data__uses = data["uses"]
            if not isinstance(data__uses, (list, tuple)):
                raise JsonSchemaValueException
            data__uses_is_list = isinstance(data__uses, (list, tuple))
            if data__uses_is_list:
                data__uses_len = len(data__uses)
                if data__uses_len > 500:
                    raise JsonSchemaValueException
                for data__uses_x, data__uses_item in enumerate(data__uses):
                    validate_formula_schema_json___defs_name(data__uses_item)
        if "makes" in data_keys:
            data_keys.remove("makes")
            data__makes = data["makes"]
            if not isinstance(data__makes, (str)):
                raise JsonSchemaValueException
            if isinstance(data__makes, str):
                data__makes_len = len(data__makes)
                if data__makes_len < 1:
                    raise JsonSchemaValueException
                if data__makes_len > 200:
                    raise JsonSchemaValueException
        if "into" in data_keys:
            data_keys.remove("into")
            data__into = data["into"]
            if not isinstance(data__into, (str)):
                raise JsonSchemaValueException
            if isinstance(data__into, str):
                data__into_len = len(data__into)
                if data__into_len < 1:
                    raise JsonSchemaValueException
                if data__into_len > 300:
                    raise JsonSchemaValueException
        if "on" in data_keys:
            data_keys.remove("on")
            data__on = data["on"]
            if not isinstance(data__on, (str)):
                raise JsonSchemaValueException
            if isinstance(data__on, str):
                data__on_len = len(data__on)
                if data__on_len < 1:
                    raise JsonSchemaValueException
                if data__on_len > 300:
                    raise JsonSchemaValueException
        if "with" in data_keys:
            data_keys.remove("with")
            data__with = data["with"]
            if not isinstance(data__with, (str)):
                raise JsonSchemaValueException
            if isinstance(data__with, str):
                data__with_len = len(data__with)
                if data__with_len < 1:
                    raise JsonSchemaValueException
                if data__with_len > 300:
                    raise JsonSchemaValueException
        if "fill" in data_keys:
            data_keys.remove("fill")
            data__fill = data["fill"]
            if not isinstance(data__fill, (str)):
                raise JsonSchemaValueException
            if isinstance(data__fill, str):
                data__fill_len = len(data__fill)
                if data__fill_len < 1:
                    raise JsonSchemaValueException
                if data__fill_len > 80:
                    raise JsonSchemaValueException
        if "speed" in data_keys:
            data_keys.remove("speed")
            data__speed = data["speed"]
            if not isinstance(data__speed, (str)):
                raise JsonSchemaValueException
            if isinstance(data__speed, str):
                data__speed_len = len(data__speed)
                if data__speed_len < 1:
                    raise JsonSchemaValueException
                if data__speed_len > 80:
                    raise JsonSchemaValueException
        if "to" in data_keys:
            data_keys.remove("to")
            data__to = data["to"]
            validate_formula_schema_json___defs_temperature(data__to)
        if "at" in data_keys:
            data_keys.remove("at")
            data__at = data["at"]
            validate_formula_schema_json___defs_temperature(data__at)
        if "core" in data_keys:
            data_keys.remove("core")
            data__core = data["core"]
            validate_formula_schema_json___defs_temperature(data__core)
        if "for" in data_keys:
            data_keys.remove("for")
            data__for = data["for"]
            validate_formula_schema_json___defs_time(data__for)
        if "until" in data_keys:
            data_keys.remove("until")
            data__until = data["until"]
            if not isinstance(data__until, (str)):
                raise JsonSchemaValueException
            if isinstance(data__until, str):
                data__until_len = len(data__until)
                if data__until_len < 1:
                    raise JsonSchemaValueException
                if data__until_len > 500:
                    raise JsonSchemaValueException
        if "note" in data_keys:
            data_keys.remove("note")
            data__note = data["note"]
            if not isinstance(data__note, (str)):
                raise JsonSchemaValueException
            if isinstance(data__note, str):
                data__note_len = len(data__note)
                if data__note_len > 2000:
                    raise JsonSchemaValueException
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_time(data):
    if not isinstance(data, (str)):
        raise JsonSchemaValueException
    if isinstance(data, str):
        data_len = len(data)
        if data_len < 1:
            raise JsonSchemaValueException
        if data_len > 80:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_temperature(data):
    if not isinstance(data, (str)):
        raise JsonSchemaValueException
    if isinstance(data, str):
        data_len = len(data)
        if data_len < 1:
            raise JsonSchemaValueException
        if data_len > 80:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_part(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'part', 'ingredients'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "part" in data_keys:
            data_keys.remove("part")
            data__part = data["part"]
            if not isinstance(data__part, (str)):
                raise JsonSchemaValueException
            if isinstance(data__part, str):
                data__part_len = len(data__part)
                if data__part_len < 1:
                    raise JsonSchemaValueException
                if data__part_len > 200:
                    raise JsonSchemaValueException
        if "kind" in data_keys:
            data_keys.remove("kind")
            data__kind = data["kind"]
            if not (isinstance(data__kind, str) and data__kind == 'dough' or isinstance(data__kind, str) and data__kind == 'batter' or isinstance(data__kind, str) and data__kind == 'preferment' or isinstance(data__kind, str) and data__kind == 'starter' or isinstance(data__kind, str) and data__kind == 'soaker' or isinstance(data__kind, str) and data__kind == 'scald' or isinstance(data__kind, str) and data__kind == 'topping' or isinstance(data__kind, str) and data__kind == 'filling' or isinstance(data__kind, str) and data__kind == 'icing' or isinstance(data__kind, str) and data__kind == 'glaze' or isinstance(data__kind, str) and data__kind == 'layer' or isinstance(data__kind, str) and data__kind == 'other'):
                raise JsonSchemaValueException
        if "notes" in data_keys:
            data_keys.remove("notes")
            data__notes = data["notes"]
            if not isinstance(data__notes, (str)):
                raise JsonSchemaValueException
            if isinstance(data__notes, str):
                data__notes_len = len(data__notes)
                if data__notes_len > 10000:
                    raise JsonSchemaValueException
        if "ingredients" in data_keys:
            data_keys.remove("ingredients")
            data__ingredients = data["ingredients"]
            if not isinstance(data__ingredients, (list, tuple)):
                raise JsonSchemaValueException
            data__ingredients_is_list = isinstance(data__ingredients, (list, tuple))
            if data__ingredients_is_list:
                data__ingredients_len = len(data__ingredients)
                if data__ingredients_len < 1:
                    raise JsonSchemaValueException
                if data__ingredients_len > 5000:
                    raise JsonSchemaValueException
                for data__ingredients_x, data__ingredients_item in enumerate(data__ingredients):
                    validate_formula_schema_json___defs_line(data__ingredients_item)
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_line(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_one_of_count1 = 0
    if data_one_of_count1 < 2:
        try:
            data_is_dict = isinstance(data, dict)
            if data_is_dict:
                if 'item' not in data:
                    raise JsonSchemaValueException
            data_one_of_count1 += 1
        except (JsonSchemaValueException, JsonSchemaValuesException): pass
    if data_one_of_count1 < 2:
        try:
            data_is_dict = isinstance(data, dict)
            if data_is_dict:
                if 'part' not in data:
                    raise JsonSchemaValueException
            data_one_of_count1 += 1
        except (JsonSchemaValueException, JsonSchemaValuesException): pass
    if data_one_of_count1 != 1:
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'amount' not in data:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "item" in data_keys:
            data_keys.remove("item")
            data__item = data["item"]
            if not isinstance(data__item, (str)):
                raise JsonSchemaValueException
            if isinstance(data__item, str):
                data__item_len = len(data__item)
                if data__item_len < 1:
                    raise JsonSchemaValueException
                if data__item_len > 200:
                    raise JsonSchemaValueException
        if "part" in data_keys:
            data_keys.remove("part")
            data__part = data["part"]
            if not isinstance(data__part, (str)):
                raise JsonSchemaValueException
            if isinstance(data__part, str):
                data__part_len = len(data__part)
                if data__part_len < 1:
                    raise JsonSchemaValueException
                if data__part_len > 200:
                    raise JsonSchemaValueException
        if "amount" in data_keys:
            data_keys.remove("amount")
            data__amount = data["amount"]
            validate_formula_schema_json___defs_amount(data__amount)
        if "state" in data_keys:
            data_keys.remove("state")
            data__state = data["state"]
            if not isinstance(data__state, (str)):
                raise JsonSchemaValueException
            if isinstance(data__state, str):
                data__state_len = len(data__state)
                if data__state_len < 1:
                    raise JsonSchemaValueException
                if data__state_len > 80:
                    raise JsonSchemaValueException
        if "note" in data_keys:
            data_keys.remove("note")
            data__note = data["note"]
            if not isinstance(data__note, (str)):
                raise JsonSchemaValueException
            if isinstance(data__note, str):
                data__note_len = len(data__note)
                if data__note_len > 2000:
                    raise JsonSchemaValueException
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_amount(data):
    if not isinstance(data, (str)):
        raise JsonSchemaValueException
    if isinstance(data, str):
        data_len = len(data)
        if data_len < 1:
            raise JsonSchemaValueException
        if data_len > 200:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_yield(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'pieces' not in data:
            raise JsonSchemaValueException
        data_keys = set(data)
        if "pieces" in data_keys:
            data_keys.remove("pieces")
            data__pieces = data["pieces"]
            if not isinstance(data__pieces, (int)) and not (isinstance(data__pieces, float) and data__pieces.is_integer()) or isinstance(data__pieces, bool):
                raise JsonSchemaValueException
            if isinstance(data__pieces, (int, float)) and not isinstance(data__pieces, bool):
                if data__pieces < 1:
                    raise JsonSchemaValueException
                if data__pieces > 100000:
                    raise JsonSchemaValueException
        if "piece" in data_keys:
            data_keys.remove("piece")
            data__piece = data["piece"]
            if not isinstance(data__piece, (str)):
                raise JsonSchemaValueException
            if isinstance(data__piece, str):
                data__piece_len = len(data__piece)
                if data__piece_len < 1:
                    raise JsonSchemaValueException
                if data__piece_len > 80:
                    raise JsonSchemaValueException
        if "scaling-weight" in data_keys:
            data_keys.remove("scaling-weight")
            data__scalingweight = data["scaling-weight"]
            if not isinstance(data__scalingweight, (str)):
                raise JsonSchemaValueException
            if isinstance(data__scalingweight, str):
                data__scalingweight_len = len(data__scalingweight)
                if data__scalingweight_len < 1:
                    raise JsonSchemaValueException
                if data__scalingweight_len > 80:
                    raise JsonSchemaValueException
        if data_keys:
            raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_name(data):
    if not isinstance(data, (str)):
        raise JsonSchemaValueException
    if isinstance(data, str):
        data_len = len(data)
        if data_len < 1:
            raise JsonSchemaValueException
        if data_len > 200:
            raise JsonSchemaValueException
    return data

validate = validate_formula_schema_json
