# Written by tools/maintain/write_validators.py; do not edit.
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_catalogue_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        if 'ingredients' not in data:
            raise JsonSchemaValueException
        if "ingredients" in data:
            data__ingredients = data["ingredients"]
            if not isinstance(data__ingredients, (list, tuple)):
                raise JsonSchemaValueException
            data__ingredients_is_list = isinstance(data__ingredients, (list, tuple))
            if data__ingredients_is_list:
                data__ingredients_len = len(data__ingredients)
                for data__ingredients_x, data__ingredients_item in enumerate(data__ingredients):
                    validate_catalogue_schema_json___defs_ingredient(data__ingredients_item)
        for data_key in data:
            if data_key not in {"ingredients"}:
                raise JsonSchemaValueException
    return data

def validate_catalogue_schema_json___defs_ingredient(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'name', 'group'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "name" in data:
            data__name = data["name"]
            if not (isinstance(data__name, str) and 1 <= len(data__name) <= 200):
                raise JsonSchemaValueException
        if "aliases" in data:
            data__aliases = data["aliases"]
            if not isinstance(data__aliases, (list, tuple)):
                raise JsonSchemaValueException
            data__aliases_is_list = isinstance(data__aliases, (list, tuple))
            if data__aliases_is_list:
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                data__aliases_len = len(data__aliases)
                if data__aliases_len > len(set(fn(data__aliases_x) for data__aliases_x in data__aliases)):
                    raise JsonSchemaValueException
                for data__aliases_x, data__aliases_item in enumerate(data__aliases):
                    if not (isinstance(data__aliases_item, str) and 1 <= len(data__aliases_item) <= 200):
                        raise JsonSchemaValueException
        if "group" in data:
            data__group = data["group"]
            if not (isinstance(data__group, str) and data__group == 'flour' or isinstance(data__group, str) and data__group == 'starch' or isinstance(data__group, str) and data__group == 'sugar' or isinstance(data__group, str) and data__group == 'syrup' or isinstance(data__group, str) and data__group == 'fat' or isinstance(data__group, str) and data__group == 'oil' or isinstance(data__group, str) and data__group == 'dairy' or isinstance(data__group, str) and data__group == 'egg' or isinstance(data__group, str) and data__group == 'leavening' or isinstance(data__group, str) and data__group == 'yeast' or isinstance(data__group, str) and data__group == 'salt' or isinstance(data__group, str) and data__group == 'fruit' or isinstance(data__group, str) and data__group == 'liquid' or isinstance(data__group, str) and data__group == 'flavouring' or isinstance(data__group, str) and data__group == 'nut' or isinstance(data__group, str) and data__group == 'spice' or isinstance(data__group, str) and data__group == 'chocolate' or isinstance(data__group, str) and data__group == 'other'):
                raise JsonSchemaValueException
        if "counts-as" in data:
            data__countsas = data["counts-as"]
            if not (isinstance(data__countsas, str) and data__countsas == 'flour' or isinstance(data__countsas, str) and data__countsas == 'liquid'):
                raise JsonSchemaValueException
        if "reacts" in data:
            data__reacts = data["reacts"]
            if not (isinstance(data__reacts, str) and data__reacts == 'acid' or isinstance(data__reacts, str) and data__reacts == 'alkali'):
                raise JsonSchemaValueException
        if "composition" in data:
            data__composition = data["composition"]
            if not isinstance(data__composition, (dict)):
                raise JsonSchemaValueException
            data__composition_is_dict = isinstance(data__composition, dict)
            if data__composition_is_dict:
                data__composition_keys = set(data__composition.keys())
                if "water" in data__composition_keys:
                    data__composition_keys.remove("water")
                    data__composition__water = data__composition["water"]
                    validate_catalogue_schema_json___defs_percent(data__composition__water)
                if "fat" in data__composition_keys:
                    data__composition_keys.remove("fat")
                    data__composition__fat = data__composition["fat"]
                    validate_catalogue_schema_json___defs_percent(data__composition__fat)
                if "sugar" in data__composition_keys:
                    data__composition_keys.remove("sugar")
                    data__composition__sugar = data__composition["sugar"]
                    validate_catalogue_schema_json___defs_percent(data__composition__sugar)
                if "protein" in data__composition_keys:
                    data__composition_keys.remove("protein")
                    data__composition__protein = data__composition["protein"]
                    validate_catalogue_schema_json___defs_percent(data__composition__protein)
                if "carbohydrate" in data__composition_keys:
                    data__composition_keys.remove("carbohydrate")
                    data__composition__carbohydrate = data__composition["carbohydrate"]
                    validate_catalogue_schema_json___defs_percent(data__composition__carbohydrate)
                if "fibre" in data__composition_keys:
                    data__composition_keys.remove("fibre")
                    data__composition__fibre = data__composition["fibre"]
                    validate_catalogue_schema_json___defs_percent(data__composition__fibre)
                if "ash" in data__composition_keys:
                    data__composition_keys.remove("ash")
                    data__composition__ash = data__composition["ash"]
                    validate_catalogue_schema_json___defs_percent(data__composition__ash)
                if "sodium-mg" in data__composition_keys:
                    data__composition_keys.remove("sodium-mg")
                    data__composition__sodiummg = data__composition["sodium-mg"]
                    if not isinstance(data__composition__sodiummg, (int, float)) or isinstance(data__composition__sodiummg, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__composition__sodiummg, (int, float)) and not isinstance(data__composition__sodiummg, bool):
                        if data__composition__sodiummg < 0:
                            raise JsonSchemaValueException
                        if data__composition__sodiummg > 50000:
                            raise JsonSchemaValueException
                if "energy-kcal" in data__composition_keys:
                    data__composition_keys.remove("energy-kcal")
                    data__composition__energykcal = data__composition["energy-kcal"]
                    if not isinstance(data__composition__energykcal, (int, float)) or isinstance(data__composition__energykcal, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__composition__energykcal, (int, float)) and not isinstance(data__composition__energykcal, bool):
                        if data__composition__energykcal < 0:
                            raise JsonSchemaValueException
                        if data__composition__energykcal > 1000:
                            raise JsonSchemaValueException
                if data__composition_keys:
                    raise JsonSchemaValueException
        if "composition-source" in data:
            data__compositionsource = data["composition-source"]
            if not (isinstance(data__compositionsource, str) and 1 <= len(data__compositionsource) <= 500):
                raise JsonSchemaValueException
        if "fat-type" in data:
            data__fattype = data["fat-type"]
            if not (isinstance(data__fattype, str) and data__fattype == 'dairy' or isinstance(data__fattype, str) and data__fattype == 'vegetable' or isinstance(data__fattype, str) and data__fattype == 'animal' or isinstance(data__fattype, str) and data__fattype == 'cocoa' or isinstance(data__fattype, str) and data__fattype == 'nut' or isinstance(data__fattype, str) and data__fattype == 'egg'):
                raise JsonSchemaValueException
        if "lactose" in data:
            data__lactose = data["lactose"]
            if not isinstance(data__lactose, (dict)):
                raise JsonSchemaValueException
            data__lactose_is_dict = isinstance(data__lactose, dict)
            if data__lactose_is_dict:
                data__lactose__missing_keys = {'grams', 'source'} - data__lactose.keys()
                if data__lactose__missing_keys:
                    raise JsonSchemaValueException
                data__lactose_keys = set(data__lactose.keys())
                if "grams" in data__lactose_keys:
                    data__lactose_keys.remove("grams")
                    data__lactose__grams = data__lactose["grams"]
                    validate_catalogue_schema_json___defs_percent(data__lactose__grams)
                if "source" in data__lactose_keys:
                    data__lactose_keys.remove("source")
                    data__lactose__source = data__lactose["source"]
                    if not (isinstance(data__lactose__source, str) and 1 <= len(data__lactose__source) <= 500):
                        raise JsonSchemaValueException
                if data__lactose_keys:
                    raise JsonSchemaValueException
        if "egg-solids" in data:
            data__eggsolids = data["egg-solids"]
            if not isinstance(data__eggsolids, (dict)):
                raise JsonSchemaValueException
            data__eggsolids_is_dict = isinstance(data__eggsolids, dict)
            if data__eggsolids_is_dict:
                data__eggsolids__missing_keys = {'white', 'yolk', 'source'} - data__eggsolids.keys()
                if data__eggsolids__missing_keys:
                    raise JsonSchemaValueException
                data__eggsolids_keys = set(data__eggsolids.keys())
                if "white" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("white")
                    data__eggsolids__white = data__eggsolids["white"]
                    validate_catalogue_schema_json___defs_percent(data__eggsolids__white)
                if "yolk" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("yolk")
                    data__eggsolids__yolk = data__eggsolids["yolk"]
                    validate_catalogue_schema_json___defs_percent(data__eggsolids__yolk)
                if "source" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("source")
                    data__eggsolids__source = data__eggsolids["source"]
                    if not (isinstance(data__eggsolids__source, str) and 1 <= len(data__eggsolids__source) <= 500):
                        raise JsonSchemaValueException
                if data__eggsolids_keys:
                    raise JsonSchemaValueException
        if "neutralises" in data:
            data__neutralises = data["neutralises"]
            if not isinstance(data__neutralises, (dict)):
                raise JsonSchemaValueException
            data__neutralises_is_dict = isinstance(data__neutralises, dict)
            if data__neutralises_is_dict:
                data__neutralises__missing_keys = {'soda', 'source'} - data__neutralises.keys()
                if data__neutralises__missing_keys:
                    raise JsonSchemaValueException
                data__neutralises_keys = set(data__neutralises.keys())
                if "soda" in data__neutralises_keys:
                    data__neutralises_keys.remove("soda")
                    data__neutralises__soda = data__neutralises["soda"]
                    if not isinstance(data__neutralises__soda, (int, float)) or isinstance(data__neutralises__soda, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__neutralises__soda, (int, float)) and not isinstance(data__neutralises__soda, bool):
                        if data__neutralises__soda > 200:
                            raise JsonSchemaValueException
                        if data__neutralises__soda <= 0:
                            raise JsonSchemaValueException
                if "low" in data__neutralises_keys:
                    data__neutralises_keys.remove("low")
                    data__neutralises__low = data__neutralises["low"]
                    if not isinstance(data__neutralises__low, (int, float)) or isinstance(data__neutralises__low, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__neutralises__low, (int, float)) and not isinstance(data__neutralises__low, bool):
                        if data__neutralises__low > 200:
                            raise JsonSchemaValueException
                        if data__neutralises__low <= 0:
                            raise JsonSchemaValueException
                if "high" in data__neutralises_keys:
                    data__neutralises_keys.remove("high")
                    data__neutralises__high = data__neutralises["high"]
                    if not isinstance(data__neutralises__high, (int, float)) or isinstance(data__neutralises__high, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__neutralises__high, (int, float)) and not isinstance(data__neutralises__high, bool):
                        if data__neutralises__high > 200:
                            raise JsonSchemaValueException
                        if data__neutralises__high <= 0:
                            raise JsonSchemaValueException
                if "source" in data__neutralises_keys:
                    data__neutralises_keys.remove("source")
                    data__neutralises__source = data__neutralises["source"]
                    if not (isinstance(data__neutralises__source, str) and 1 <= len(data__neutralises__source) <= 500):
                        raise JsonSchemaValueException
                if data__neutralises_keys:
                    raise JsonSchemaValueException
        if "gas" in data:
            data__gas = data["gas"]
            if not isinstance(data__gas, (dict)):
                raise JsonSchemaValueException
            data__gas_is_dict = isinstance(data__gas, dict)
            if data__gas_is_dict:
                data__gas__missing_keys = {'percent', 'source'} - data__gas.keys()
                if data__gas__missing_keys:
                    raise JsonSchemaValueException
                data__gas_keys = set(data__gas.keys())
                if "percent" in data__gas_keys:
                    data__gas_keys.remove("percent")
                    data__gas__percent = data__gas["percent"]
                    if not isinstance(data__gas__percent, (int, float)) or isinstance(data__gas__percent, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__gas__percent, (int, float)) and not isinstance(data__gas__percent, bool):
                        if data__gas__percent > 52.4:
                            raise JsonSchemaValueException
                        if data__gas__percent <= 0:
                            raise JsonSchemaValueException
                if "source" in data__gas_keys:
                    data__gas_keys.remove("source")
                    data__gas__source = data__gas["source"]
                    if not (isinstance(data__gas__source, str) and 1 <= len(data__gas__source) <= 500):
                        raise JsonSchemaValueException
                if data__gas_keys:
                    raise JsonSchemaValueException
        if "measures" in data:
            data__measures = data["measures"]
            if not isinstance(data__measures, (list, tuple)):
                raise JsonSchemaValueException
            data__measures_is_list = isinstance(data__measures, (list, tuple))
            if data__measures_is_list:
                data__measures_len = len(data__measures)
                for data__measures_x, data__measures_item in enumerate(data__measures):
                    validate_catalogue_schema_json___defs_measure(data__measures_item)
        if "allergens" in data:
            data__allergens = data["allergens"]
            if not isinstance(data__allergens, (dict)):
                raise JsonSchemaValueException
            data__allergens_is_dict = isinstance(data__allergens, dict)
            if data__allergens_is_dict:
                data__allergens_keys = set(data__allergens.keys())
                if "us" in data__allergens_keys:
                    data__allergens_keys.remove("us")
                    data__allergens__us = data__allergens["us"]
                    if not isinstance(data__allergens__us, (list, tuple)):
                        raise JsonSchemaValueException
                    data__allergens__us_is_list = isinstance(data__allergens__us, (list, tuple))
                    if data__allergens__us_is_list:
                        data__allergens__us_len = len(data__allergens__us)
                        for data__allergens__us_x, data__allergens__us_item in enumerate(data__allergens__us):
                            if not isinstance(data__allergens__us_item, (str)):
                                raise JsonSchemaValueException
                if "eu" in data__allergens_keys:
                    data__allergens_keys.remove("eu")
                    data__allergens__eu = data__allergens["eu"]
                    if not isinstance(data__allergens__eu, (list, tuple)):
                        raise JsonSchemaValueException
                    data__allergens__eu_is_list = isinstance(data__allergens__eu, (list, tuple))
                    if data__allergens__eu_is_list:
                        data__allergens__eu_len = len(data__allergens__eu)
                        for data__allergens__eu_x, data__allergens__eu_item in enumerate(data__allergens__eu):
                            if not isinstance(data__allergens__eu_item, (str)):
                                raise JsonSchemaValueException
                if data__allergens_keys:
                    raise JsonSchemaValueException
        if "note" in data:
            data__note = data["note"]
            if not (isinstance(data__note, str) and 0 <= len(data__note) <= 1000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"name", "aliases", "group", "counts-as", "reacts", "composition", "composition-source", "fat-type", "lactose", "egg-solids", "neutralises", "gas", "measures", "allergens", "note"}:
                raise JsonSchemaValueException
    return data

def validate_catalogue_schema_json___defs_measure(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'per', 'grams', 'source'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "per" in data:
            data__per = data["per"]
            if not (isinstance(data__per, str) and 1 <= len(data__per) <= 40):
                raise JsonSchemaValueException
        if "state" in data:
            data__state = data["state"]
            if not (isinstance(data__state, str) and 1 <= len(data__state) <= 80):
                raise JsonSchemaValueException
        if "grams" in data:
            data__grams = data["grams"]
            if not isinstance(data__grams, (int, float)) or isinstance(data__grams, bool):
                raise JsonSchemaValueException
            if isinstance(data__grams, (int, float)) and not isinstance(data__grams, bool):
                if data__grams < 0.001:
                    raise JsonSchemaValueException
                if data__grams > 100000:
                    raise JsonSchemaValueException
        if "spread" in data:
            data__spread = data["spread"]
            if not isinstance(data__spread, (int, float)) or isinstance(data__spread, bool):
                raise JsonSchemaValueException
            if isinstance(data__spread, (int, float)) and not isinstance(data__spread, bool):
                if data__spread < 0:
                    raise JsonSchemaValueException
        if "source" in data:
            data__source = data["source"]
            if not (isinstance(data__source, str) and 1 <= len(data__source) <= 500):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"per", "state", "grams", "spread", "source"}:
                raise JsonSchemaValueException
    return data

def validate_catalogue_schema_json___defs_percent(data):
    if not isinstance(data, (int, float)) or isinstance(data, bool):
        raise JsonSchemaValueException
    if isinstance(data, (int, float)) and not isinstance(data, bool):
        if data < 0:
            raise JsonSchemaValueException
        if data > 100:
            raise JsonSchemaValueException
    return data

validate = validate_catalogue_schema_json
