# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_house_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'house' not in data:
            raise JsonSchemaValueException
        if "house" in data:
            data__house = data["house"]
            if not (isinstance(data__house, str) and 1 <= len(data__house) <= 200):
                raise JsonSchemaValueException
        if "temperatures" in data:
            data__temperatures = data["temperatures"]
            if not (isinstance(data__temperatures, str) and data__temperatures == 'both' or isinstance(data__temperatures, str) and data__temperatures == 'celsius' or isinstance(data__temperatures, str) and data__temperatures == 'fahrenheit' or isinstance(data__temperatures, str) and data__temperatures == 'any'):
                raise JsonSchemaValueException
        if "cup-habit" in data:
            data__cuphabit = data["cup-habit"]
            if not (isinstance(data__cuphabit, str) and data__cuphabit == 'dipped' or isinstance(data__cuphabit, str) and data__cuphabit == 'spooned'):
                raise JsonSchemaValueException
        if "measures" in data:
            data__measures = data["measures"]
            if not (isinstance(data__measures, str) and data__measures == 'us' or isinstance(data__measures, str) and data__measures == 'uk' or isinstance(data__measures, str) and data__measures == 'metric' or isinstance(data__measures, str) and data__measures == 'australian'):
                raise JsonSchemaValueException
        if "eggs" in data:
            data__eggs = data["eggs"]
            if not (isinstance(data__eggs, str) and data__eggs == 'us' or isinstance(data__eggs, str) and data__eggs == 'eu' or isinstance(data__eggs, str) and data__eggs == 'uk' or isinstance(data__eggs, str) and data__eggs == 'australian'):
                raise JsonSchemaValueException
        if "numbers" in data:
            data__numbers = data["numbers"]
            if not (isinstance(data__numbers, str) and data__numbers == '1,234.5' or isinstance(data__numbers, str) and data__numbers == '1.234,5'):
                raise JsonSchemaValueException
        if "units" in data:
            data__units = data["units"]
            if not isinstance(data__units, (list, tuple)):
                raise JsonSchemaValueException
            data__units_is_list = isinstance(data__units, (list, tuple))
            if data__units_is_list:
                data__units_len = len(data__units)
                if data__units_len > 100:
                    raise JsonSchemaValueException
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                if data__units_len > len(set(fn(data__units_x) for data__units_x in data__units)):
                    raise JsonSchemaValueException
                for data__units_x, data__units_item in enumerate(data__units):
                    if not (isinstance(data__units_item, str) and 5 <= len(data__units_item) <= 200):
                        raise JsonSchemaValueException
        if "scale-resolution" in data:
            data__scaleresolution = data["scale-resolution"]
            if not isinstance(data__scaleresolution, (int, float)) or isinstance(data__scaleresolution, bool):
                raise JsonSchemaValueException
            if isinstance(data__scaleresolution, (int, float)) and not isinstance(data__scaleresolution, bool):
                if data__scaleresolution < 0.001:
                    raise JsonSchemaValueException
                if data__scaleresolution > 1000:
                    raise JsonSchemaValueException
        if "yield-tolerance" in data:
            data__yieldtolerance = data["yield-tolerance"]
            if not isinstance(data__yieldtolerance, (int, float)) or isinstance(data__yieldtolerance, bool):
                raise JsonSchemaValueException
            if isinstance(data__yieldtolerance, (int, float)) and not isinstance(data__yieldtolerance, bool):
                if data__yieldtolerance < 0:
                    raise JsonSchemaValueException
                if data__yieldtolerance > 100:
                    raise JsonSchemaValueException
        if "declare-allergens" in data:
            data__declareallergens = data["declare-allergens"]
            if not isinstance(data__declareallergens, (bool)):
                raise JsonSchemaValueException
        if "classes" in data:
            data__classes = data["classes"]
            if not isinstance(data__classes, (dict)):
                raise JsonSchemaValueException
            data__classes_is_dict = isinstance(data__classes, dict)
            if data__classes_is_dict:
                data__classes_keys = set(data__classes.keys())
                for data__classes_key in data__classes_keys:
                    if data__classes_key not in []:
                        data__classes_value = data__classes.get(data__classes_key)
                        validate_house_schema_json___defs_class(data__classes_value)
                data__classes_len = len(data__classes)
                if data__classes_len != 0:
                    data__classes_property_names = True
                    for data__classes_key in data__classes:
                        try:
                            if isinstance(data__classes_key, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__classes_key):
                                    raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__classes_property_names = False
                    if not data__classes_property_names:
                        raise JsonSchemaValueException
        if "limits" in data:
            data__limits = data["limits"]
            if not isinstance(data__limits, (dict)):
                raise JsonSchemaValueException
            data__limits_is_dict = isinstance(data__limits, dict)
            if data__limits_is_dict:
                data__limits_keys = set(data__limits.keys())
                for data__limits_key in data__limits_keys:
                    if data__limits_key not in []:
                        data__limits_value = data__limits.get(data__limits_key)
                        if not isinstance(data__limits_value, (dict)):
                            raise JsonSchemaValueException
                        data__limits_value_is_dict = isinstance(data__limits_value, dict)
                        if data__limits_value_is_dict:
                            data__limits_value_keys = set(data__limits_value.keys())
                            for data__limits_value_key in data__limits_value_keys:
                                if data__limits_value_key not in []:
                                    data__limits_value_value = data__limits_value.get(data__limits_value_key)
                                    if not isinstance(data__limits_value_value, (int, float)) or isinstance(data__limits_value_value, bool):
                                        raise JsonSchemaValueException
                data__limits_len = len(data__limits)
                if data__limits_len != 0:
                    data__limits_property_names = True
                    for data__limits_key in data__limits:
                        try:
                            if isinstance(data__limits_key, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__limits_key):
                                    raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__limits_property_names = False
                    if not data__limits_property_names:
                        raise JsonSchemaValueException
        if "review" in data:
            data__review = data["review"]
            if not isinstance(data__review, (dict)):
                raise JsonSchemaValueException
            data__review_is_dict = isinstance(data__review, dict)
            if data__review_is_dict:
                data__review_keys = set(data__review.keys())
                if "demoted" in data__review_keys:
                    data__review_keys.remove("demoted")
                    data__review__demoted = data__review["demoted"]
                    if not (isinstance(data__review__demoted, str) and data__review__demoted == 'stop'):
                        raise JsonSchemaValueException
                if "changes-hands" in data__review_keys:
                    data__review_keys.remove("changes-hands")
                    data__review__changeshands = data__review["changes-hands"]
                    if not (isinstance(data__review__changeshands, str) and data__review__changeshands == 'stop'):
                        raise JsonSchemaValueException
                if "formula-removed" in data__review_keys:
                    data__review_keys.remove("formula-removed")
                    data__review__formularemoved = data__review["formula-removed"]
                    if not (isinstance(data__review__formularemoved, str) and data__review__formularemoved == 'stop'):
                        raise JsonSchemaValueException
                if "record-removed" in data__review_keys:
                    data__review_keys.remove("record-removed")
                    data__review__recordremoved = data__review["record-removed"]
                    if not (isinstance(data__review__recordremoved, str) and data__review__recordremoved == 'stop'):
                        raise JsonSchemaValueException
                if "record-amended" in data__review_keys:
                    data__review_keys.remove("record-amended")
                    data__review__recordamended = data__review["record-amended"]
                    if not (isinstance(data__review__recordamended, str) and data__review__recordamended == 'stop'):
                        raise JsonSchemaValueException
                if "trial-changed" in data__review_keys:
                    data__review_keys.remove("trial-changed")
                    data__review__trialchanged = data__review["trial-changed"]
                    if not (isinstance(data__review__trialchanged, str) and data__review__trialchanged == 'stop'):
                        raise JsonSchemaValueException
                if "led-nowhere" in data__review_keys:
                    data__review_keys.remove("led-nowhere")
                    data__review__lednowhere = data__review["led-nowhere"]
                    if not (isinstance(data__review__lednowhere, str) and data__review__lednowhere == 'stop'):
                        raise JsonSchemaValueException
                if "keep-after-reject" in data__review_keys:
                    data__review_keys.remove("keep-after-reject")
                    data__review__keepafterreject = data__review["keep-after-reject"]
                    if not (isinstance(data__review__keepafterreject, str) and data__review__keepafterreject == 'stop'):
                        raise JsonSchemaValueException
                if "backdated" in data__review_keys:
                    data__review_keys.remove("backdated")
                    data__review__backdated = data__review["backdated"]
                    if not (isinstance(data__review__backdated, str) and data__review__backdated == 'stop'):
                        raise JsonSchemaValueException
                if "allergen" in data__review_keys:
                    data__review_keys.remove("allergen")
                    data__review__allergen = data__review["allergen"]
                    if not (isinstance(data__review__allergen, str) and data__review__allergen == 'stop'):
                        raise JsonSchemaValueException
                if "window" in data__review_keys:
                    data__review_keys.remove("window")
                    data__review__window = data__review["window"]
                    if not (isinstance(data__review__window, str) and data__review__window == 'stop'):
                        raise JsonSchemaValueException
                if "scaled" in data__review_keys:
                    data__review_keys.remove("scaled")
                    data__review__scaled = data__review["scaled"]
                    if not (isinstance(data__review__scaled, str) and data__review__scaled == 'look' or isinstance(data__review__scaled, str) and data__review__scaled == 'stop'):
                        raise JsonSchemaValueException
                if "waiver" in data__review_keys:
                    data__review_keys.remove("waiver")
                    data__review__waiver = data__review["waiver"]
                    if not (isinstance(data__review__waiver, str) and data__review__waiver == 'stop'):
                        raise JsonSchemaValueException
                if "waived-with-its-cause" in data__review_keys:
                    data__review_keys.remove("waived-with-its-cause")
                    data__review__waivedwithitscause = data__review["waived-with-its-cause"]
                    if not (isinstance(data__review__waivedwithitscause, str) and data__review__waivedwithitscause == 'stop'):
                        raise JsonSchemaValueException
                if "baseline" in data__review_keys:
                    data__review_keys.remove("baseline")
                    data__review__baseline = data__review["baseline"]
                    if not (isinstance(data__review__baseline, str) and data__review__baseline == 'stop'):
                        raise JsonSchemaValueException
                if "house" in data__review_keys:
                    data__review_keys.remove("house")
                    data__review__house = data__review["house"]
                    if not (isinstance(data__review__house, str) and data__review__house == 'stop'):
                        raise JsonSchemaValueException
                if "both-changed" in data__review_keys:
                    data__review_keys.remove("both-changed")
                    data__review__bothchanged = data__review["both-changed"]
                    if not (isinstance(data__review__bothchanged, str) and data__review__bothchanged == 'stop'):
                        raise JsonSchemaValueException
                if "warning" in data__review_keys:
                    data__review_keys.remove("warning")
                    data__review__warning = data__review["warning"]
                    if not (isinstance(data__review__warning, str) and data__review__warning == 'stop'):
                        raise JsonSchemaValueException
                if "approved" in data__review_keys:
                    data__review_keys.remove("approved")
                    data__review__approved = data__review["approved"]
                    if not (isinstance(data__review__approved, str) and data__review__approved == 'stop'):
                        raise JsonSchemaValueException
                if "prices" in data__review_keys:
                    data__review_keys.remove("prices")
                    data__review__prices = data__review["prices"]
                    if not (isinstance(data__review__prices, str) and data__review__prices == 'look' or isinstance(data__review__prices, str) and data__review__prices == 'stop'):
                        raise JsonSchemaValueException
                if "note" in data__review_keys:
                    data__review_keys.remove("note")
                    data__review__note = data__review["note"]
                    if not (isinstance(data__review__note, str) and data__review__note == 'look' or isinstance(data__review__note, str) and data__review__note == 'stop'):
                        raise JsonSchemaValueException
                if data__review_keys:
                    raise JsonSchemaValueException
        if "rule-pages" in data:
            data__rulepages = data["rule-pages"]
            if not isinstance(data__rulepages, (str)):
                raise JsonSchemaValueException
            if isinstance(data__rulepages, str):
                data__rulepages_len = len(data__rulepages)
                if data__rulepages_len > 1000:
                    raise JsonSchemaValueException
                if not re.search('^https?://([A-Za-z0-9._~:/@&()*+,;=-]|%[0-9A-Fa-f]{2})+\\Z', data__rulepages):
                    raise JsonSchemaValueException
        if "rules" in data:
            data__rules = data["rules"]
            if not isinstance(data__rules, (dict)):
                raise JsonSchemaValueException
            data__rules_is_dict = isinstance(data__rules, dict)
            if data__rules_is_dict:
                data__rules_keys = set(data__rules.keys())
                for data__rules_key in data__rules_keys:
                    if data__rules_key not in []:
                        data__rules_value = data__rules.get(data__rules_key)
                        if not (isinstance(data__rules_value, str) and data__rules_value == 'off' or isinstance(data__rules_value, str) and data__rules_value == 'note' or isinstance(data__rules_value, str) and data__rules_value == 'warning' or isinstance(data__rules_value, str) and data__rules_value == 'error'):
                            raise JsonSchemaValueException
                data__rules_len = len(data__rules)
                if data__rules_len != 0:
                    data__rules_property_names = True
                    for data__rules_key in data__rules:
                        try:
                            if isinstance(data__rules_key, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__rules_key):
                                    raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__rules_property_names = False
                    if not data__rules_property_names:
                        raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"house", "temperatures", "cup-habit", "measures", "eggs", "numbers", "units", "scale-resolution", "yield-tolerance", "declare-allergens", "classes", "limits", "review", "rule-pages", "rules"}:
                raise JsonSchemaValueException
    return data

def validate_house_schema_json___defs_class(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if "title" in data:
            data__title = data["title"]
            if not (isinstance(data__title, str) and 1 <= len(data__title) <= 200):
                raise JsonSchemaValueException
        if "baked" in data:
            data__baked = data["baked"]
            if not isinstance(data__baked, (bool)):
                raise JsonSchemaValueException
        if "windows" in data:
            data__windows = data["windows"]
            if not isinstance(data__windows, (dict)):
                raise JsonSchemaValueException
            data__windows_is_dict = isinstance(data__windows, dict)
            if data__windows_is_dict:
                data__windows_keys = set(data__windows.keys())
                for data__windows_key in data__windows_keys:
                    if data__windows_key not in []:
                        data__windows_value = data__windows.get(data__windows_key)
                        validate_house_schema_json___defs_window(data__windows_value)
                data__windows_len = len(data__windows)
                if data__windows_len != 0:
                    data__windows_property_names = True
                    for data__windows_key in data__windows:
                        try:
                            if not (isinstance(data__windows_key, str) and data__windows_key == 'hydration' or isinstance(data__windows_key, str) and data__windows_key == 'sugar' or isinstance(data__windows_key, str) and data__windows_key == 'fat' or isinstance(data__windows_key, str) and data__windows_key == 'egg' or isinstance(data__windows_key, str) and data__windows_key == 'liquid' or isinstance(data__windows_key, str) and data__windows_key == 'salt' or isinstance(data__windows_key, str) and data__windows_key == 'leavening-gas' or isinstance(data__windows_key, str) and data__windows_key == 'baking-powder' or isinstance(data__windows_key, str) and data__windows_key == 'baking-soda' or isinstance(data__windows_key, str) and data__windows_key == 'yeast-instant' or isinstance(data__windows_key, str) and data__windows_key == 'fruit' or isinstance(data__windows_key, str) and data__windows_key == 'nut' or isinstance(data__windows_key, str) and data__windows_key == 'chocolate' or isinstance(data__windows_key, str) and data__windows_key == 'cocoa' or isinstance(data__windows_key, str) and data__windows_key == 'prefermented-flour' or isinstance(data__windows_key, str) and data__windows_key == 'total-water' or isinstance(data__windows_key, str) and data__windows_key == 'total-fat' or isinstance(data__windows_key, str) and data__windows_key == 'total-sugar'):
                                raise JsonSchemaValueException
                        except (JsonSchemaValueException, JsonSchemaValuesException):
                            data__windows_property_names = False
                    if not data__windows_property_names:
                        raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"title", "baked", "windows"}:
                raise JsonSchemaValueException
    return data

def validate_house_schema_json___defs_window(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'low', 'high'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "low" in data:
            data__low = data["low"]
            if not isinstance(data__low, (int, float)) or isinstance(data__low, bool):
                raise JsonSchemaValueException
            if isinstance(data__low, (int, float)) and not isinstance(data__low, bool):
                if data__low < 0:
                    raise JsonSchemaValueException
        if "typical" in data:
            data__typical = data["typical"]
            if not isinstance(data__typical, (int, float)) or isinstance(data__typical, bool):
                raise JsonSchemaValueException
            if isinstance(data__typical, (int, float)) and not isinstance(data__typical, bool):
                if data__typical < 0:
                    raise JsonSchemaValueException
        if "high" in data:
            data__high = data["high"]
            if not isinstance(data__high, (int, float)) or isinstance(data__high, bool):
                raise JsonSchemaValueException
            if isinstance(data__high, (int, float)) and not isinstance(data__high, bool):
                if data__high < 0:
                    raise JsonSchemaValueException
        if "source" in data:
            data__source = data["source"]
            if not (isinstance(data__source, str) and 1 <= len(data__source) <= 300):
                raise JsonSchemaValueException
        if "published" in data:
            data__published = data["published"]
            if not isinstance(data__published, (dict)):
                raise JsonSchemaValueException
            data__published_is_dict = isinstance(data__published, dict)
            if data__published_is_dict:
                data__published__missing_keys = {'recipes', 'quantiles'} - data__published.keys()
                if data__published__missing_keys:
                    raise JsonSchemaValueException
                data__published_keys = set(data__published.keys())
                if "recipes" in data__published_keys:
                    data__published_keys.remove("recipes")
                    data__published__recipes = data__published["recipes"]
                    if not isinstance(data__published__recipes, (int)) and not (isinstance(data__published__recipes, float) and data__published__recipes.is_integer()) or isinstance(data__published__recipes, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__published__recipes, (int, float)) and not isinstance(data__published__recipes, bool):
                        if data__published__recipes < 1:
                            raise JsonSchemaValueException
                if "quantiles" in data__published_keys:
                    data__published_keys.remove("quantiles")
                    data__published__quantiles = data__published["quantiles"]
                    if not isinstance(data__published__quantiles, (list, tuple)):
                        raise JsonSchemaValueException
                    data__published__quantiles_is_list = isinstance(data__published__quantiles, (list, tuple))
                    if data__published__quantiles_is_list:
                        data__published__quantiles_len = len(data__published__quantiles)
                        if data__published__quantiles_len < 1:
                            raise JsonSchemaValueException
                        if data__published__quantiles_len > 5:
                            raise JsonSchemaValueException
                        for data__published__quantiles_x, data__published__quantiles_item in enumerate(data__published__quantiles):
                            if not isinstance(data__published__quantiles_item, (int, float)) or isinstance(data__published__quantiles_item, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__published__quantiles_item, (int, float)) and not isinstance(data__published__quantiles_item, bool):
                                if data__published__quantiles_item < 0:
                                    raise JsonSchemaValueException
                if data__published_keys:
                    raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"low", "typical", "high", "source", "published"}:
                raise JsonSchemaValueException
    return data

validate = validate_house_schema_json
