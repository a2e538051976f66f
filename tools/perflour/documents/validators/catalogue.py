# Written by tools/maintain/write_validators.py; do not edit.
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_catalogue_schema_json(data, custom_formats={}, name_prefix=None):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException("" + (name_prefix or "data") + " must be object")
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = set(['ingredients']) - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must contain ")
        data_keys = set(data.keys())
        if "ingredients" in data_keys:
            data_keys.remove("ingredients")
            data__ingredients = data["ingredients"]
            if not isinstance(data__ingredients, (list, tuple)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".ingredients must be array")
            data__ingredients_is_list = isinstance(data__ingredients, (list, tuple))
            if data__ingredients_is_list:
                data__ingredients_len = len(data__ingredients)
                for data__ingredients_x, data__ingredients_item in enumerate(data__ingredients):
                    validate_catalogue_schema_json___defs_ingredient(data__ingredients_item, custom_formats, (name_prefix or "data") + ".ingredients[{data__ingredients_x}]".format(**locals()))
        if data_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must not contain "+str(data_keys)+" properties")
    return data

def validate_catalogue_schema_json___defs_ingredient(data, custom_formats={}, name_prefix=None):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException("" + (name_prefix or "data") + " must be object")
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = set(['name', 'group']) - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must contain ")
        data_keys = set(data.keys())
        if "name" in data_keys:
            data_keys.remove("name")
            data__name = data["name"]
            if not isinstance(data__name, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".name must be string")
            if isinstance(data__name, str):
                data__name_len = len(data__name)
                if data__name_len < 1:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".name must be longer than or equal to 1 characters")
                if data__name_len > 200:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".name must be shorter than or equal to 200 characters")
        if "aliases" in data_keys:
            data_keys.remove("aliases")
            data__aliases = data["aliases"]
            if not isinstance(data__aliases, (list, tuple)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".aliases must be array")
            data__aliases_is_list = isinstance(data__aliases, (list, tuple))
            if data__aliases_is_list:
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                data__aliases_len = len(data__aliases)
                if data__aliases_len > len(set(fn(data__aliases_x) for data__aliases_x in data__aliases)):
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".aliases must contain unique items")
                for data__aliases_x, data__aliases_item in enumerate(data__aliases):
                    if not isinstance(data__aliases_item, (str)):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".aliases[{data__aliases_x}]".format(**locals()) + " must be string")
                    if isinstance(data__aliases_item, str):
                        data__aliases_item_len = len(data__aliases_item)
                        if data__aliases_item_len < 1:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".aliases[{data__aliases_x}]".format(**locals()) + " must be longer than or equal to 1 characters")
                        if data__aliases_item_len > 200:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".aliases[{data__aliases_x}]".format(**locals()) + " must be shorter than or equal to 200 characters")
        if "group" in data_keys:
            data_keys.remove("group")
            data__group = data["group"]
            if not (isinstance(data__group, str) and data__group == 'flour' or isinstance(data__group, str) and data__group == 'starch' or isinstance(data__group, str) and data__group == 'sugar' or isinstance(data__group, str) and data__group == 'syrup' or isinstance(data__group, str) and data__group == 'fat' or isinstance(data__group, str) and data__group == 'oil' or isinstance(data__group, str) and data__group == 'dairy' or isinstance(data__group, str) and data__group == 'egg' or isinstance(data__group, str) and data__group == 'leavening' or isinstance(data__group, str) and data__group == 'yeast' or isinstance(data__group, str) and data__group == 'salt' or isinstance(data__group, str) and data__group == 'fruit' or isinstance(data__group, str) and data__group == 'liquid' or isinstance(data__group, str) and data__group == 'flavouring' or isinstance(data__group, str) and data__group == 'nut' or isinstance(data__group, str) and data__group == 'spice' or isinstance(data__group, str) and data__group == 'chocolate' or isinstance(data__group, str) and data__group == 'other'):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".group must be one of ['flour', 'starch', 'sugar', 'syrup', 'fat', 'oil', 'dairy', 'egg', 'leavening', 'yeast', 'salt', 'fruit', 'liquid', 'flavouring', 'nut', 'spice', 'chocolate', 'other']")
        if "counts-as" in data_keys:
            data_keys.remove("counts-as")
            data__countsas = data["counts-as"]
            if not (isinstance(data__countsas, str) and data__countsas == 'flour' or isinstance(data__countsas, str) and data__countsas == 'liquid'):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".counts-as must be one of ['flour', 'liquid']")
        if "reacts" in data_keys:
            data_keys.remove("reacts")
            data__reacts = data["reacts"]
            if not (isinstance(data__reacts, str) and data__reacts == 'acid' or isinstance(data__reacts, str) and data__reacts == 'alkali'):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".reacts must be one of ['acid', 'alkali']")
        if "composition" in data_keys:
            data_keys.remove("composition")
            data__composition = data["composition"]
            if not isinstance(data__composition, (dict)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition must be object")
            data__composition_is_dict = isinstance(data__composition, dict)
            if data__composition_is_dict:
                data__composition_keys = set(data__composition.keys())
                if "water" in data__composition_keys:
                    data__composition_keys.remove("water")
                    data__composition__water = data__composition["water"]
                    validate_catalogue_schema_json___defs_percent(data__composition__water, custom_formats, (name_prefix or "data") + ".composition.water")
                if "fat" in data__composition_keys:
                    data__composition_keys.remove("fat")
                    data__composition__fat = data__composition["fat"]
                    validate_catalogue_schema_json___defs_percent(data__composition__fat, custom_formats, (name_prefix or "data") + ".composition.fat")
                if "sugar" in data__composition_keys:
                    data__composition_keys.remove("sugar")
                    data__composition__sugar = data__composition["sugar"]
                    validate_catalogue_schema_json___defs_percent(data__composition__sugar, custom_formats, (name_prefix or "data") + ".composition.sugar")
                if "protein" in data__composition_keys:
                    data__composition_keys.remove("protein")
                    data__composition__protein = data__composition["protein"]
                    validate_catalogue_schema_json___defs_percent(data__composition__protein, custom_formats, (name_prefix or "data") + ".composition.protein")
                if "carbohydrate" in data__composition_keys:
                    data__composition_keys.remove("carbohydrate")
                    data__composition__carbohydrate = data__composition["carbohydrate"]
                    validate_catalogue_schema_json___defs_percent(data__composition__carbohydrate, custom_formats, (name_prefix or "data") + ".composition.carbohydrate")
                if "fibre" in data__composition_keys:
                    data__composition_keys.remove("fibre")
                    data__composition__fibre = data__composition["fibre"]
                    validate_catalogue_schema_json___defs_percent(data__composition__fibre, custom_formats, (name_prefix or "data") + ".composition.fibre")
                if "ash" in data__composition_keys:
                    data__composition_keys.remove("ash")
                    data__composition__ash = data__composition["ash"]
                    validate_catalogue_schema_json___defs_percent(data__composition__ash, custom_formats, (name_prefix or "data") + ".composition.ash")
                if "sodium-mg" in data__composition_keys:
                    data__composition_keys.remove("sodium-mg")
                    data__composition__sodiummg = data__composition["sodium-mg"]
                    if not isinstance(data__composition__sodiummg, (int, float)) or isinstance(data__composition__sodiummg, bool):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.sodium-mg must be number")
                    if isinstance(data__composition__sodiummg, (int, float)) and not isinstance(data__composition__sodiummg, bool):
                        if data__composition__sodiummg < 0:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.sodium-mg must be bigger than or equal to 0")
                        if data__composition__sodiummg > 50000:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.sodium-mg must be smaller than or equal to 50000")
                if "energy-kcal" in data__composition_keys:
                    data__composition_keys.remove("energy-kcal")
                    data__composition__energykcal = data__composition["energy-kcal"]
                    if not isinstance(data__composition__energykcal, (int, float)) or isinstance(data__composition__energykcal, bool):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.energy-kcal must be number")
                    if isinstance(data__composition__energykcal, (int, float)) and not isinstance(data__composition__energykcal, bool):
                        if data__composition__energykcal < 0:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.energy-kcal must be bigger than or equal to 0")
                        if data__composition__energykcal > 1000:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition.energy-kcal must be smaller than or equal to 1000")
                if data__composition_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition must not contain "+str(data__composition_keys)+" properties")
        if "composition-source" in data_keys:
            data_keys.remove("composition-source")
            data__compositionsource = data["composition-source"]
            if not isinstance(data__compositionsource, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition-source must be string")
            if isinstance(data__compositionsource, str):
                data__compositionsource_len = len(data__compositionsource)
                if data__compositionsource_len < 1:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition-source must be longer than or equal to 1 characters")
                if data__compositionsource_len > 500:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".composition-source must be shorter than or equal to 500 characters")
        if "fat-type" in data_keys:
            data_keys.remove("fat-type")
            data__fattype = data["fat-type"]
            if not (isinstance(data__fattype, str) and data__fattype == 'dairy' or isinstance(data__fattype, str) and data__fattype == 'vegetable' or isinstance(data__fattype, str) and data__fattype == 'animal' or isinstance(data__fattype, str) and data__fattype == 'cocoa' or isinstance(data__fattype, str) and data__fattype == 'nut' or isinstance(data__fattype, str) and data__fattype == 'egg'):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".fat-type must be one of ['dairy', 'vegetable', 'animal', 'cocoa', 'nut', 'egg']")
        if "lactose" in data_keys:
            data_keys.remove("lactose")
            data__lactose = data["lactose"]
            if not isinstance(data__lactose, (dict)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".lactose must be object")
            data__lactose_is_dict = isinstance(data__lactose, dict)
            if data__lactose_is_dict:
                data__lactose__missing_keys = set(['grams', 'source']) - data__lactose.keys()
                if data__lactose__missing_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".lactose must contain ")
                data__lactose_keys = set(data__lactose.keys())
                if "grams" in data__lactose_keys:
                    data__lactose_keys.remove("grams")
                    data__lactose__grams = data__lactose["grams"]
                    validate_catalogue_schema_json___defs_percent(data__lactose__grams, custom_formats, (name_prefix or "data") + ".lactose.grams")
                if "source" in data__lactose_keys:
                    data__lactose_keys.remove("source")
                    data__lactose__source = data__lactose["source"]
                    validate_catalogue_schema_json___defs_source(data__lactose__source, custom_formats, (name_prefix or "data") + ".lactose.source")
                if data__lactose_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".lactose must not contain "+str(data__lactose_keys)+" properties")
        if "egg-solids" in data_keys:
            data_keys.remove("egg-solids")
            data__eggsolids = data["egg-solids"]
            if not isinstance(data__eggsolids, (dict)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".egg-solids must be object")
            data__eggsolids_is_dict = isinstance(data__eggsolids, dict)
            if data__eggsolids_is_dict:
                data__eggsolids__missing_keys = set(['white', 'yolk', 'source']) - data__eggsolids.keys()
                if data__eggsolids__missing_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".egg-solids must contain ")
                data__eggsolids_keys = set(data__eggsolids.keys())
                if "white" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("white")
                    data__eggsolids__white = data__eggsolids["white"]
                    validate_catalogue_schema_json___defs_percent(data__eggsolids__white, custom_formats, (name_prefix or "data") + ".egg-solids.white")
                if "yolk" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("yolk")
                    data__eggsolids__yolk = data__eggsolids["yolk"]
                    validate_catalogue_schema_json___defs_percent(data__eggsolids__yolk, custom_formats, (name_prefix or "data") + ".egg-solids.yolk")
                if "source" in data__eggsolids_keys:
                    data__eggsolids_keys.remove("source")
                    data__eggsolids__source = data__eggsolids["source"]
                    validate_catalogue_schema_json___defs_source(data__eggsolids__source, custom_formats, (name_prefix or "data") + ".egg-solids.source")
                if data__eggsolids_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".egg-solids must not contain "+str(data__eggsolids_keys)+" properties")
        if "neutralises" in data_keys:
            data_keys.remove("neutralises")
            data__neutralises = data["neutralises"]
            if not isinstance(data__neutralises, (dict)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises must be object")
            data__neutralises_is_dict = isinstance(data__neutralises, dict)
            if data__neutralises_is_dict:
                data__neutralises__missing_keys = set(['soda', 'source']) - data__neutralises.keys()
                if data__neutralises__missing_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises must contain ")
                data__neutralises_keys = set(data__neutralises.keys())
                if "soda" in data__neutralises_keys:
                    data__neutralises_keys.remove("soda")
                    data__neutralises__soda = data__neutralises["soda"]
                    if not isinstance(data__neutralises__soda, (int, float)) or isinstance(data__neutralises__soda, bool):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.soda must be number")
                    if isinstance(data__neutralises__soda, (int, float)) and not isinstance(data__neutralises__soda, bool):
                        if data__neutralises__soda > 200:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.soda must be smaller than or equal to 200")
                        if data__neutralises__soda <= 0:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.soda must be bigger than 0")
                if "low" in data__neutralises_keys:
                    data__neutralises_keys.remove("low")
                    data__neutralises__low = data__neutralises["low"]
                    if not isinstance(data__neutralises__low, (int, float)) or isinstance(data__neutralises__low, bool):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.low must be number")
                    if isinstance(data__neutralises__low, (int, float)) and not isinstance(data__neutralises__low, bool):
                        if data__neutralises__low > 200:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.low must be smaller than or equal to 200")
                        if data__neutralises__low <= 0:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.low must be bigger than 0")
                if "high" in data__neutralises_keys:
                    data__neutralises_keys.remove("high")
                    data__neutralises__high = data__neutralises["high"]
                    if not isinstance(data__neutralises__high, (int, float)) or isinstance(data__neutralises__high, bool):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.high must be number")
                    if isinstance(data__neutralises__high, (int, float)) and not isinstance(data__neutralises__high, bool):
                        if data__neutralises__high > 200:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.high must be smaller than or equal to 200")
                        if data__neutralises__high <= 0:
                            raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises.high must be bigger than 0")
                if "source" in data__neutralises_keys:
                    data__neutralises_keys.remove("source")
                    data__neutralises__source = data__neutralises["source"]
                    validate_catalogue_schema_json___defs_source(data__neutralises__source, custom_formats, (name_prefix or "data") + ".neutralises.source")
                if data__neutralises_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".neutralises must not contain "+str(data__neutralises_keys)+" properties")
        if "measures" in data_keys:
            data_keys.remove("measures")
            data__measures = data["measures"]
            if not isinstance(data__measures, (list, tuple)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".measures must be array")
            data__measures_is_list = isinstance(data__measures, (list, tuple))
            if data__measures_is_list:
                data__measures_len = len(data__measures)
                for data__measures_x, data__measures_item in enumerate(data__measures):
                    validate_catalogue_schema_json___defs_measure(data__measures_item, custom_formats, (name_prefix or "data") + ".measures[{data__measures_x}]".format(**locals()))
        if "allergens" in data_keys:
            data_keys.remove("allergens")
            data__allergens = data["allergens"]
            if not isinstance(data__allergens, (dict)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens must be object")
            data__allergens_is_dict = isinstance(data__allergens, dict)
            if data__allergens_is_dict:
                data__allergens_keys = set(data__allergens.keys())
                if "us" in data__allergens_keys:
                    data__allergens_keys.remove("us")
                    data__allergens__us = data__allergens["us"]
                    if not isinstance(data__allergens__us, (list, tuple)):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens.us must be array")
                    data__allergens__us_is_list = isinstance(data__allergens__us, (list, tuple))
                    if data__allergens__us_is_list:
                        data__allergens__us_len = len(data__allergens__us)
                        for data__allergens__us_x, data__allergens__us_item in enumerate(data__allergens__us):
                            if not isinstance(data__allergens__us_item, (str)):
                                raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens.us[{data__allergens__us_x}]".format(**locals()) + " must be string")
                if "eu" in data__allergens_keys:
                    data__allergens_keys.remove("eu")
                    data__allergens__eu = data__allergens["eu"]
                    if not isinstance(data__allergens__eu, (list, tuple)):
                        raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens.eu must be array")
                    data__allergens__eu_is_list = isinstance(data__allergens__eu, (list, tuple))
                    if data__allergens__eu_is_list:
                        data__allergens__eu_len = len(data__allergens__eu)
                        for data__allergens__eu_x, data__allergens__eu_item in enumerate(data__allergens__eu):
                            if not isinstance(data__allergens__eu_item, (str)):
                                raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens.eu[{data__allergens__eu_x}]".format(**locals()) + " must be string")
                if data__allergens_keys:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".allergens must not contain "+str(data__allergens_keys)+" properties")
        if "note" in data_keys:
            data_keys.remove("note")
            data__note = data["note"]
            if not isinstance(data__note, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".note must be string")
            if isinstance(data__note, str):
                data__note_len = len(data__note)
                if data__note_len > 1000:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".note must be shorter than or equal to 1000 characters")
        if data_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must not contain "+str(data_keys)+" properties")
    return data

def validate_catalogue_schema_json___defs_measure(data, custom_formats={}, name_prefix=None):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException("" + (name_prefix or "data") + " must be object")
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = set(['per', 'grams', 'source']) - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must contain ")
        data_keys = set(data.keys())
        if "per" in data_keys:
            data_keys.remove("per")
            data__per = data["per"]
            if not isinstance(data__per, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".per must be string")
            if isinstance(data__per, str):
                data__per_len = len(data__per)
                if data__per_len < 1:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".per must be longer than or equal to 1 characters")
                if data__per_len > 40:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".per must be shorter than or equal to 40 characters")
        if "state" in data_keys:
            data_keys.remove("state")
            data__state = data["state"]
            if not isinstance(data__state, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".state must be string")
            if isinstance(data__state, str):
                data__state_len = len(data__state)
                if data__state_len < 1:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".state must be longer than or equal to 1 characters")
                if data__state_len > 80:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".state must be shorter than or equal to 80 characters")
        if "grams" in data_keys:
            data_keys.remove("grams")
            data__grams = data["grams"]
            if not isinstance(data__grams, (int, float)) or isinstance(data__grams, bool):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".grams must be number")
            if isinstance(data__grams, (int, float)) and not isinstance(data__grams, bool):
                if data__grams > 100000:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".grams must be smaller than or equal to 100000")
                if data__grams <= 0:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".grams must be bigger than 0")
        if "spread" in data_keys:
            data_keys.remove("spread")
            data__spread = data["spread"]
            if not isinstance(data__spread, (int, float)) or isinstance(data__spread, bool):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".spread must be number")
            if isinstance(data__spread, (int, float)) and not isinstance(data__spread, bool):
                if data__spread < 0:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".spread must be bigger than or equal to 0")
        if "source" in data_keys:
            data_keys.remove("source")
            data__source = data["source"]
            if not isinstance(data__source, (str)):
                raise JsonSchemaValueException("" + (name_prefix or "data") + ".source must be string")
            if isinstance(data__source, str):
                data__source_len = len(data__source)
                if data__source_len < 1:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".source must be longer than or equal to 1 characters")
                if data__source_len > 500:
                    raise JsonSchemaValueException("" + (name_prefix or "data") + ".source must be shorter than or equal to 500 characters")
        if data_keys:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must not contain "+str(data_keys)+" properties")
    return data

def validate_catalogue_schema_json___defs_source(data, custom_formats={}, name_prefix=None):
    if not isinstance(data, (str)):
        raise JsonSchemaValueException("" + (name_prefix or "data") + " must be string")
    if isinstance(data, str):
        data_len = len(data)
        if data_len < 1:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must be longer than or equal to 1 characters")
        if data_len > 500:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must be shorter than or equal to 500 characters")
    return data

def validate_catalogue_schema_json___defs_percent(data, custom_formats={}, name_prefix=None):
    if not isinstance(data, (int, float)) or isinstance(data, bool):
        raise JsonSchemaValueException("" + (name_prefix or "data") + " must be number")
    if isinstance(data, (int, float)) and not isinstance(data, bool):
        if data < 0:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must be bigger than or equal to 0")
        if data > 100:
            raise JsonSchemaValueException("" + (name_prefix or "data") + " must be smaller than or equal to 100")
    return data

validate = validate_catalogue_schema_json
