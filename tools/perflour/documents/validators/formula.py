# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_formula_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'formula', 'title', 'class', 'status', 'parts', 'method'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "formula" in data:
            data__formula = data["formula"]
            if not isinstance(data__formula, (str)):
                raise JsonSchemaValueException
            if isinstance(data__formula, str):
                data__formula_len = len(data__formula)
                if data__formula_len > 80:
                    raise JsonSchemaValueException
                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__formula):
                    raise JsonSchemaValueException
        if "title" in data:
            data__title = data["title"]
            if not (isinstance(data__title, str) and 1 <= len(data__title) <= 200):
                raise JsonSchemaValueException
        if "class" in data:
            data__class = data["class"]
            if not (isinstance(data__class, str) and 1 <= len(data__class) <= 80):
                raise JsonSchemaValueException
        if "status" in data:
            data__status = data["status"]
            if not (isinstance(data__status, str) and data__status == 'draft' or isinstance(data__status, str) and data__status == 'testing' or isinstance(data__status, str) and data__status == 'approved' or isinstance(data__status, str) and data__status == 'retired' or isinstance(data__status, str) and data__status == 'reference'):
                raise JsonSchemaValueException
        if "origin" in data:
            data__origin = data["origin"]
            if not (isinstance(data__origin, str) and data__origin == 'own' or isinstance(data__origin, str) and data__origin == 'adapted'):
                raise JsonSchemaValueException
        if "citation" in data:
            data__citation = data["citation"]
            if not (isinstance(data__citation, str) and 1 <= len(data__citation) <= 1000):
                raise JsonSchemaValueException
        if "notes" in data:
            data__notes = data["notes"]
            if not (isinstance(data__notes, str) and 0 <= len(data__notes) <= 10000):
                raise JsonSchemaValueException
        if "allergens" in data:
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
                    if not (isinstance(data__allergens_item, str) and 1 <= len(data__allergens_item) <= 200):
                        raise JsonSchemaValueException
        if "measures" in data:
            data__measures = data["measures"]
            if not (isinstance(data__measures, str) and data__measures == 'us' or isinstance(data__measures, str) and data__measures == 'uk' or isinstance(data__measures, str) and data__measures == 'metric' or isinstance(data__measures, str) and data__measures == 'australian'):
                raise JsonSchemaValueException
        if "eggs" in data:
            data__eggs = data["eggs"]
            if not (isinstance(data__eggs, str) and data__eggs == 'us' or isinstance(data__eggs, str) and data__eggs == 'eu' or isinstance(data__eggs, str) and data__eggs == 'uk' or isinstance(data__eggs, str) and data__eggs == 'australian'):
                raise JsonSchemaValueException
        if "basis" in data:
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
                    if not (isinstance(data__basis_item, str) and 1 <= len(data__basis_item) <= 200):
                        raise JsonSchemaValueException
        if "yield" in data:
            data__yield = data["yield"]
            validate_formula_schema_json___defs_yield(data__yield)
        if "parts" in data:
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
        if "method" in data:
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
        if "waivers" in data:
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
        if "corrections" in data:
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
        for data_key in data:
            if data_key not in {"formula", "title", "class", "status", "origin", "citation", "notes", "allergens", "measures", "eggs", "basis", "yield", "parts", "method", "waivers", "corrections"}:
                raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_correction(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'because' not in data:
            raise JsonSchemaValueException
        if "item" in data:
            data__item = data["item"]
            if not (isinstance(data__item, str) and 1 <= len(data__item) <= 200):
                raise JsonSchemaValueException
        if "because" in data:
            data__because = data["because"]
            if not (isinstance(data__because, str) and 1 <= len(data__because) <= 1000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"item", "because"}:
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
        if "rule" in data:
            data__rule = data["rule"]
            if not isinstance(data__rule, (str)):
                raise JsonSchemaValueException
            if isinstance(data__rule, str):
                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__rule):
                    raise JsonSchemaValueException
        if "item" in data:
            data__item = data["item"]
            if not (isinstance(data__item, str) and 1 <= len(data__item) <= 200):
                raise JsonSchemaValueException
        if "because" in data:
            data__because = data["because"]
            if not (isinstance(data__because, str) and 1 <= len(data__because) <= 1000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"rule", "item", "because"}:
                raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_step(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'do' not in data:
            raise JsonSchemaValueException
        if "do" in data:
            data__do = data["do"]
            if not (isinstance(data__do, str) and 1 <= len(data__do) <= 80):
                raise JsonSchemaValueException
        if "uses" in data:
            data__uses = data["uses"]
            if not isinstance(data__uses, (list, tuple)):
                raise JsonSchemaValueException
            data__uses_is_list = isinstance(data__uses, (list, tuple))
            if data__uses_is_list:
                data__uses_len = len(data__uses)
                if data__uses_len > 500:
                    raise JsonSchemaValueException
                for data__uses_x, data__uses_item in enumerate(data__uses):
                    if not (isinstance(data__uses_item, str) and 1 <= len(data__uses_item) <= 200):
                        raise JsonSchemaValueException
        if "makes" in data:
            data__makes = data["makes"]
            if not (isinstance(data__makes, str) and 1 <= len(data__makes) <= 200):
                raise JsonSchemaValueException
        if "into" in data:
            data__into = data["into"]
            if not (isinstance(data__into, str) and 1 <= len(data__into) <= 300):
                raise JsonSchemaValueException
        if "on" in data:
            data__on = data["on"]
            if not (isinstance(data__on, str) and 1 <= len(data__on) <= 300):
                raise JsonSchemaValueException
        if "with" in data:
            data__with = data["with"]
            if not (isinstance(data__with, str) and 1 <= len(data__with) <= 300):
                raise JsonSchemaValueException
        if "fill" in data:
            data__fill = data["fill"]
            if not (isinstance(data__fill, str) and 1 <= len(data__fill) <= 80):
                raise JsonSchemaValueException
        if "speed" in data:
            data__speed = data["speed"]
            if not (isinstance(data__speed, str) and 1 <= len(data__speed) <= 80):
                raise JsonSchemaValueException
        if "to" in data:
            data__to = data["to"]
            if not (isinstance(data__to, str) and 1 <= len(data__to) <= 80):
                raise JsonSchemaValueException
        if "at" in data:
            data__at = data["at"]
            if not (isinstance(data__at, str) and 1 <= len(data__at) <= 80):
                raise JsonSchemaValueException
        if "core" in data:
            data__core = data["core"]
            if not (isinstance(data__core, str) and 1 <= len(data__core) <= 80):
                raise JsonSchemaValueException
        if "for" in data:
            data__for = data["for"]
            if not (isinstance(data__for, str) and 1 <= len(data__for) <= 80):
                raise JsonSchemaValueException
        if "until" in data:
            data__until = data["until"]
            if not (isinstance(data__until, str) and 1 <= len(data__until) <= 500):
                raise JsonSchemaValueException
        if "note" in data:
            data__note = data["note"]
            if not (isinstance(data__note, str) and 0 <= len(data__note) <= 2000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"do", "uses", "makes", "into", "on", "with", "fill", "speed", "to", "at", "core", "for", "until", "note"}:
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
        if "part" in data:
            data__part = data["part"]
            if not (isinstance(data__part, str) and 1 <= len(data__part) <= 200):
                raise JsonSchemaValueException
        if "kind" in data:
            data__kind = data["kind"]
            if not (isinstance(data__kind, str) and data__kind == 'dough' or isinstance(data__kind, str) and data__kind == 'batter' or isinstance(data__kind, str) and data__kind == 'preferment' or isinstance(data__kind, str) and data__kind == 'starter' or isinstance(data__kind, str) and data__kind == 'soaker' or isinstance(data__kind, str) and data__kind == 'scald' or isinstance(data__kind, str) and data__kind == 'topping' or isinstance(data__kind, str) and data__kind == 'filling' or isinstance(data__kind, str) and data__kind == 'icing' or isinstance(data__kind, str) and data__kind == 'glaze' or isinstance(data__kind, str) and data__kind == 'layer' or isinstance(data__kind, str) and data__kind == 'other'):
                raise JsonSchemaValueException
        if "notes" in data:
            data__notes = data["notes"]
            if not (isinstance(data__notes, str) and 0 <= len(data__notes) <= 10000):
                raise JsonSchemaValueException
        if "ingredients" in data:
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
        for data_key in data:
            if data_key not in {"part", "kind", "notes", "ingredients"}:
                raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_line(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_one_of_count1 = 0
    data_one_of_count1 += not isinstance(data, dict) or 'item' in data
    data_one_of_count1 += not isinstance(data, dict) or 'part' in data
    if data_one_of_count1 != 1:
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'amount' not in data:
            raise JsonSchemaValueException
        if "item" in data:
            data__item = data["item"]
            if not (isinstance(data__item, str) and 1 <= len(data__item) <= 200):
                raise JsonSchemaValueException
        if "part" in data:
            data__part = data["part"]
            if not (isinstance(data__part, str) and 1 <= len(data__part) <= 200):
                raise JsonSchemaValueException
        if "amount" in data:
            data__amount = data["amount"]
            if not (isinstance(data__amount, str) and 1 <= len(data__amount) <= 200):
                raise JsonSchemaValueException
        if "state" in data:
            data__state = data["state"]
            if not (isinstance(data__state, str) and 1 <= len(data__state) <= 80):
                raise JsonSchemaValueException
        if "note" in data:
            data__note = data["note"]
            if not (isinstance(data__note, str) and 0 <= len(data__note) <= 2000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"item", "part", "amount", "state", "note"}:
                raise JsonSchemaValueException
    return data

def validate_formula_schema_json___defs_yield(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'pieces' not in data:
            raise JsonSchemaValueException
        if "pieces" in data:
            data__pieces = data["pieces"]
            if not isinstance(data__pieces, (int)) and not (isinstance(data__pieces, float) and data__pieces.is_integer()) or isinstance(data__pieces, bool):
                raise JsonSchemaValueException
            if isinstance(data__pieces, (int, float)) and not isinstance(data__pieces, bool):
                if data__pieces < 1:
                    raise JsonSchemaValueException
                if data__pieces > 100000:
                    raise JsonSchemaValueException
        if "piece" in data:
            data__piece = data["piece"]
            if not (isinstance(data__piece, str) and 1 <= len(data__piece) <= 80):
                raise JsonSchemaValueException
        if "scaling-weight" in data:
            data__scalingweight = data["scaling-weight"]
            if not (isinstance(data__scalingweight, str) and 1 <= len(data__scalingweight) <= 80):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"pieces", "piece", "scaling-weight"}:
                raise JsonSchemaValueException
    return data

validate = validate_formula_schema_json
