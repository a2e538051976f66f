/* YAML text to data with the place of every node, from libyaml's events: docs/performance.md.

   Reads ordinary documents only. Whatever may be wrong, or takes more than plain nodes, is declined:
   documents/by_pyyaml.py reads it again and says what is the matter. So no message stands here, and
   nothing is read here that is not read there in the same way (tests/documents/test_two_readers.py).

   Data are Python's; what stands where is one array of spots for the document, in the order of the
   text. A Node is a number in it, made when somebody asks. */

#define PY_SSIZE_T_CLEAN
#include <Python.h>
#include <structmember.h>
#include <yaml.h>

#ifdef Py_GIL_DISABLED
#error "the table of known texts is kept by the global lock"
#endif

#define MOST_BYTES (1 << 20)
#define MAX_DEPTH 40
#define NOWHERE UINT_MAX

enum kind { SCALAR, LIST, MAPPING };
static const char *const KINDS[] = {"scalar", "sequence", "mapping"};

typedef struct {
    unsigned line, column, index;
} Mark;

/* A node of the text; ``behind`` is the first spot that is not inside it. Only scalars have a text.
   ``style`` is the sign that opens a scalar, 0 of a plain one; of others whether they are in flow. */
typedef struct {
    PyObject *text;
    Mark start, end;
    unsigned behind;
    unsigned char kind, style;
} Spot;

typedef struct {
    PyObject_HEAD
    Spot *all;
    unsigned count;
} Spots;

typedef struct {
    PyObject_HEAD
    Spots *spots;
    unsigned at;
} Node;

typedef struct {
    PyObject_HEAD
    Mark mark;
} MarkObject;

typedef struct {
    yaml_parser_t parser;
    yaml_event_t event;
    PyObject *plain;
    Spot *spots;
    unsigned count, room;
} Reader;

static PyTypeObject SpotsType, NodeType, MarkType;

/* Keys and short words seen before, by their hash: most of a file is made of them, and what looks them
   up later finds their hash computed. A new one takes the slot of an old one, so that it never grows. */
#define SLOTS 512
#define SHORT 24
static PyObject *known[SLOTS];

static PyObject *text_of(const char *bytes, size_t length)
{
    if (length > SHORT)
        return PyUnicode_DecodeUTF8(bytes, (Py_ssize_t)length, NULL);
    size_t hash = length;
    for (size_t i = 0; i < length; i++)
        hash = hash * 31 + (unsigned char)bytes[i];
    PyObject **slot = &known[(hash ^ (hash >> 9)) % SLOTS];
    if (*slot) {
        Py_ssize_t had_length;
        const char *had = PyUnicode_AsUTF8AndSize(*slot, &had_length);
        if (!had)
            return NULL;
        if ((size_t)had_length == length && !memcmp(had, bytes, length))
            return Py_NewRef(*slot);
    }
    PyObject *text = PyUnicode_DecodeUTF8(bytes, (Py_ssize_t)length, NULL);
    if (text)
        Py_XSETREF(*slot, Py_NewRef(text));
    return text;
}

static int is(const char *bytes, size_t length, const char *word)
{
    return strlen(word) == length && !memcmp(bytes, word, length);
}

/* What a plain scalar stands for (YAML 1.2.2, 10.3); rare numbers are read by reader._plain. */
static PyObject *plain_value(Reader *reader, const char *bytes, size_t length, PyObject *text)
{
    if (!length || is(bytes, length, "~") || is(bytes, length, "null") ||
        is(bytes, length, "Null") || is(bytes, length, "NULL"))
        return Py_NewRef(Py_None);
    if (is(bytes, length, "true") || is(bytes, length, "True") || is(bytes, length, "TRUE"))
        return Py_NewRef(Py_True);
    if (is(bytes, length, "false") || is(bytes, length, "False") || is(bytes, length, "FALSE"))
        return Py_NewRef(Py_False);
    if (!strchr("0123456789+-.", bytes[0]))
        return Py_NewRef(text);
    if (length <= 18 && strspn(bytes, "0123456789") == length)
        return PyLong_FromLongLong(strtoll(bytes, NULL, 10));
    if (strspn(bytes, "0123456789abcdefABCDEFxoinINF+-.") < length)
        return Py_NewRef(text);
    return PyObject_CallOneArg(reader->plain, text);
}

/* The next event, in place of the last; 0 where libyaml stumbles. */
static int advance(Reader *reader)
{
    yaml_event_delete(&reader->event);
    return yaml_parser_parse(&reader->parser, &reader->event);
}

static Mark mark_of(yaml_mark_t mark)
{
    return (Mark){(unsigned)mark.line, (unsigned)mark.column, (unsigned)mark.index};
}

/* A spot for the node that the event begins; NOWHERE without memory. */
static unsigned new_spot(Reader *reader, enum kind kind, int style)
{
    if (reader->count == reader->room) {
        Spot *more = PyMem_Realloc(reader->spots, 2 * (size_t)reader->room * sizeof(Spot));
        if (!more) {
            PyErr_NoMemory();
            return NOWHERE;
        }
        reader->spots = more;
        reader->room *= 2;
    }
    reader->spots[reader->count] = (Spot){
        NULL, mark_of(reader->event.start_mark), mark_of(reader->event.end_mark),
        reader->count + 1, (unsigned char)kind, (unsigned char)style};
    return reader->count++;
}

static void close_spot(Reader *reader, unsigned at)
{
    reader->spots[at].end = mark_of(reader->event.end_mark);
    reader->spots[at].behind = reader->count;
}

/* The sign that opens a scalar; 0 of a plain one. */
static int sign_of(yaml_scalar_style_t style)
{
    switch (style) {
    case YAML_SINGLE_QUOTED_SCALAR_STYLE:
        return '\'';
    case YAML_DOUBLE_QUOTED_SCALAR_STYLE:
        return '"';
    case YAML_LITERAL_SCALAR_STYLE:
        return '|';
    case YAML_FOLDED_SCALAR_STYLE:
        return '>';
    default:
        return 0;
    }
}

/* The text of a scalar, owned by its spot; NULL for one with an anchor or a tag. */
static PyObject *scalar_text(Reader *reader)
{
    const yaml_event_t *event = &reader->event;
    if (event->type != YAML_SCALAR_EVENT || event->data.scalar.anchor || event->data.scalar.tag)
        return NULL;
    unsigned at = new_spot(reader, SCALAR, sign_of(event->data.scalar.style));
    if (at == NOWHERE)
        return NULL;
    return reader->spots[at].text =
        text_of((const char *)event->data.scalar.value, event->data.scalar.length);
}

static PyObject *scalar(Reader *reader)
{
    PyObject *text = scalar_text(reader);
    if (!text || !reader->event.data.scalar.plain_implicit)
        return Py_XNewRef(text);
    const char *bytes = (const char *)reader->event.data.scalar.value;
    return plain_value(reader, bytes, reader->event.data.scalar.length, text);
}

static PyObject *value(Reader *reader, int depth);

static PyObject *list(Reader *reader, int depth)
{
    unsigned at = new_spot(
        reader, LIST, reader->event.data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE);
    PyObject *items = at == NOWHERE ? NULL : PyList_New(0);
    while (items) {
        if (!advance(reader))
            break;
        if (reader->event.type == YAML_SEQUENCE_END_EVENT) {
            close_spot(reader, at);
            return items;
        }
        PyObject *item = value(reader, depth + 1);
        if (!item)
            break;
        int failed = PyList_Append(items, item);
        Py_DECREF(item);
        if (failed)
            break;
    }
    Py_XDECREF(items);
    return NULL;
}

/* Takes in an entry whose key the event holds; not 0 where it is declined. */
static int add_entry(Reader *reader, PyObject *entries, int depth)
{
    PyObject *key = scalar_text(reader); /* lives as long as its spot */
    if (!key || !advance(reader))
        return -1;
    PyObject *held = value(reader, depth + 1);
    if (!held)
        return -1;
    int failed = PyDict_SetItem(entries, key, held);
    Py_DECREF(held);
    return failed;
}

static PyObject *mapping(Reader *reader, int depth)
{
    unsigned at = new_spot(
        reader, MAPPING, reader->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE);
    PyObject *entries = at == NOWHERE ? NULL : PyDict_New();
    Py_ssize_t number = 0;
    while (entries) {
        if (!advance(reader))
            break;
        if (reader->event.type == YAML_MAPPING_END_EVENT) {
            if (PyDict_Size(entries) != number)
                break; /* a key stands twice */
            close_spot(reader, at);
            return entries;
        }
        if (add_entry(reader, entries, depth))
            break;
        number++;
    }
    Py_XDECREF(entries);
    return NULL;
}

/* The data of the node that the event begins; NULL where it is declined, maybe with an error set. */
static PyObject *value(Reader *reader, int depth)
{
    const yaml_event_t *event = &reader->event;
    if (event->type == YAML_SCALAR_EVENT)
        return scalar(reader);
    if (depth >= MAX_DEPTH)
        return NULL;
    if (event->type == YAML_SEQUENCE_START_EVENT && !event->data.sequence_start.anchor &&
        !event->data.sequence_start.tag)
        return list(reader, depth);
    if (event->type == YAML_MAPPING_START_EVENT && !event->data.mapping_start.anchor &&
        !event->data.mapping_start.tag)
        return mapping(reader, depth);
    return NULL;
}

/* The data of a text that is one document, a list or mapping. */
static PyObject *document(Reader *reader)
{
    if (!advance(reader) || !advance(reader) ||
        reader->event.type != YAML_DOCUMENT_START_EVENT || !advance(reader) ||
        reader->event.type == YAML_SCALAR_EVENT)
        return NULL;
    PyObject *data = value(reader, 0);
    if (data && advance(reader) && advance(reader) && reader->event.type == YAML_STREAM_END_EVENT)
        return data;
    Py_XDECREF(data);
    return NULL;
}

static PyObject *node_at(Spots *spots, unsigned at)
{
    Node *node = PyObject_New(Node, &NodeType);
    if (node) {
        node->spots = (Spots *)Py_NewRef(spots);
        node->at = at;
    }
    return (PyObject *)node;
}

/* The data with its root. Takes both, and the reader's spots. */
static PyObject *with_root(Reader *reader, PyObject *data)
{
    Spots *spots = PyObject_New(Spots, &SpotsType);
    if (!spots) {
        Py_DECREF(data);
        return NULL;
    }
    spots->all = reader->spots;
    spots->count = reader->count;
    reader->spots = NULL;
    reader->count = 0;
    PyObject *root = node_at(spots, 0);
    Py_DECREF(spots);
    return Py_BuildValue("NN", data, root);
}

static void free_spots(Spot *all, unsigned count)
{
    for (unsigned i = 0; i < count; i++)
        Py_XDECREF(all[i].text);
    PyMem_Free(all);
}

PyDoc_STRVAR(read_doc, "read(content, plain): data and root of UTF-8 text, None where it is declined.\n\n"
                       "plain says what a rare number stands for, and raises ValueError for none.");

static PyObject *read_content(PyObject *module, PyObject *args)
{
    Py_buffer content;
    Reader reader = {0};
    if (!PyArg_ParseTuple(args, "y*O", &content, &reader.plain))
        return NULL;
    const unsigned char *bytes = content.buf;
    size_t length = (size_t)content.len;
    PyObject *found = NULL;
    if (length >= 3 && !memcmp(bytes, "\xef\xbb\xbf", 3)) { /* the mark that some editors put first */
        bytes += 3;
        length -= 3;
    }
    reader.room = 64 + (unsigned)(length / 8);
    if (length <= MOST_BYTES && yaml_parser_initialize(&reader.parser)) {
        yaml_parser_set_input_string(&reader.parser, bytes, length);
        if (!(reader.spots = PyMem_Malloc(reader.room * sizeof(Spot))))
            PyErr_NoMemory();
        else if ((found = document(&reader)))
            found = with_root(&reader, found);
        yaml_event_delete(&reader.event);
        yaml_parser_delete(&reader.parser);
        free_spots(reader.spots, reader.count);
    }
    PyBuffer_Release(&content);
    if (found || (PyErr_Occurred() && !PyErr_ExceptionMatches(PyExc_ValueError)))
        return found;
    PyErr_Clear();
    Py_RETURN_NONE;
}

/* Nodes, as far as perflour asks of those of pyyaml: id, value, marks, flow_style, style. */

#define ALL(node) (((Node *)(node))->spots->all)
#define SPOT(node) (&ALL(node)[((Node *)(node))->at])

/* The spot of a key of a mapping; NOWHERE where it has none, or with an error. */
static unsigned key_spot(PyObject *node, PyObject *key)
{
    const Spot *all = ALL(node), *spot = SPOT(node);
    if (spot->kind != MAPPING || !PyUnicode_Check(key))
        return NOWHERE;
    for (unsigned i = ((Node *)node)->at + 1; i < spot->behind; i = all[i + 1].behind) {
        if (all[i].text == key)
            return i;
        int same = PyUnicode_Compare(all[i].text, key) == 0;
        if (same || PyErr_Occurred())
            return same ? i : NOWHERE;
    }
    return NOWHERE;
}

static PyObject *node_or_none(PyObject *node, unsigned at)
{
    if (at != NOWHERE)
        return node_at(((Node *)node)->spots, at);
    return PyErr_Occurred() ? NULL : Py_NewRef(Py_None);
}

static PyObject *node_key_node(PyObject *node, PyObject *key)
{
    return node_or_none(node, key_spot(node, key));
}

static PyObject *node_child(PyObject *node, PyObject *key)
{
    unsigned at = key_spot(node, key);
    return node_or_none(node, at == NOWHERE ? NOWHERE : at + 1);
}

/* The nodes inside a list, or key and value of each entry of a mapping. */
static PyObject *inner_nodes(PyObject *node)
{
    const Spot *all = ALL(node), *spot = SPOT(node);
    Spots *spots = ((Node *)node)->spots;
    int in_pairs = spot->kind == MAPPING;
    PyObject *inner = PyList_New(0);
    for (unsigned i = ((Node *)node)->at + 1; inner && i < spot->behind;) {
        unsigned last = in_pairs ? i + 1 : i;
        PyObject *held = in_pairs ? Py_BuildValue("NN", node_at(spots, i), node_at(spots, last))
                                  : node_at(spots, i);
        if (!held || PyList_Append(inner, held))
            Py_CLEAR(inner);
        Py_XDECREF(held);
        i = all[last].behind;
    }
    return inner;
}

static PyObject *node_items(PyObject *node, PyObject *unused)
{
    return SPOT(node)->kind == LIST ? inner_nodes(node) : PyList_New(0);
}

static PyObject *node_value(PyObject *node, void *unused)
{
    return SPOT(node)->kind == SCALAR ? Py_NewRef(SPOT(node)->text) : inner_nodes(node);
}

static PyObject *node_id(PyObject *node, void *unused)
{
    return PyUnicode_FromString(KINDS[SPOT(node)->kind]);
}

static PyObject *node_flow_style(PyObject *node, void *unused)
{
    return PyBool_FromLong(SPOT(node)->kind != SCALAR && SPOT(node)->style);
}

static PyObject *node_style(PyObject *node, void *unused)
{
    char sign = (char)SPOT(node)->style;
    return PyUnicode_FromStringAndSize(&sign, SPOT(node)->kind == SCALAR && sign);
}

static PyObject *mark_object(Mark mark)
{
    MarkObject *object = PyObject_New(MarkObject, &MarkType);
    if (object)
        object->mark = mark;
    return (PyObject *)object;
}

static PyObject *node_start_mark(PyObject *node, void *unused)
{
    return mark_object(SPOT(node)->start);
}

static PyObject *node_end_mark(PyObject *node, void *unused)
{
    return mark_object(SPOT(node)->end);
}

/* Two are one where they stand at one spot, since a node is made anew at each question. */
static PyObject *node_compare(PyObject *one, PyObject *other, int how)
{
    if ((how != Py_EQ && how != Py_NE) || !Py_IS_TYPE(other, &NodeType))
        Py_RETURN_NOTIMPLEMENTED;
    int same = SPOT(one) == SPOT(other);
    return PyBool_FromLong(same == (how == Py_EQ));
}

static Py_hash_t node_hash(PyObject *node)
{
    return (Py_hash_t)((uintptr_t)SPOT(node) >> 4);
}

static void spots_dealloc(PyObject *spots)
{
    free_spots(((Spots *)spots)->all, ((Spots *)spots)->count);
    PyObject_Free(spots);
}

static void node_dealloc(PyObject *node)
{
    Py_DECREF(((Node *)node)->spots);
    PyObject_Free(node);
}

static PyMethodDef node_methods[] = {
    {"child", node_child, METH_O, "The value of an entry of a mapping, None without."},
    {"key_node", node_key_node, METH_O, "The key of an entry of a mapping, None without."},
    {"items", node_items, METH_NOARGS, "The items of a list; none of what is no list."},
    {NULL, NULL, 0, NULL}};

static PyGetSetDef node_attributes[] = {
    {"id", node_id, NULL, NULL, NULL},
    {"value", node_value, NULL, NULL, NULL},
    {"flow_style", node_flow_style, NULL, NULL, NULL},
    {"style", node_style, NULL, NULL, NULL},
    {"start_mark", node_start_mark, NULL, NULL, NULL},
    {"end_mark", node_end_mark, NULL, NULL, NULL},
    {NULL, NULL, NULL, NULL, NULL}};

static PyMemberDef mark_members[] = {
    {"line", T_UINT, offsetof(MarkObject, mark.line), READONLY, NULL},
    {"column", T_UINT, offsetof(MarkObject, mark.column), READONLY, NULL},
    {"index", T_UINT, offsetof(MarkObject, mark.index), READONLY, NULL},
    {NULL, 0, 0, 0, NULL}};

static PyTypeObject SpotsType = {
    PyVarObject_HEAD_INIT(NULL, 0).tp_name = "_perflour_reader.Spots",
    .tp_basicsize = sizeof(Spots),
    .tp_dealloc = spots_dealloc,
    .tp_flags = Py_TPFLAGS_DEFAULT | Py_TPFLAGS_DISALLOW_INSTANTIATION,
};

static PyTypeObject NodeType = {
    PyVarObject_HEAD_INIT(NULL, 0).tp_name = "_perflour_reader.Node",
    .tp_basicsize = sizeof(Node),
    .tp_dealloc = node_dealloc,
    .tp_flags = Py_TPFLAGS_DEFAULT | Py_TPFLAGS_DISALLOW_INSTANTIATION,
    .tp_methods = node_methods,
    .tp_getset = node_attributes,
    .tp_richcompare = node_compare,
    .tp_hash = node_hash,
};

static PyTypeObject MarkType = {
    PyVarObject_HEAD_INIT(NULL, 0).tp_name = "_perflour_reader.Mark",
    .tp_basicsize = sizeof(MarkObject),
    .tp_dealloc = (destructor)PyObject_Free,
    .tp_flags = Py_TPFLAGS_DEFAULT | Py_TPFLAGS_DISALLOW_INSTANTIATION,
    .tp_members = mark_members,
};

static PyMethodDef functions[] = {
    {"read", read_content, METH_VARARGS, read_doc},
    {NULL, NULL, 0, NULL}};

static struct PyModuleDef module = {
    PyModuleDef_HEAD_INIT, "_perflour_reader",
    "Ordinary YAML documents to data and places; see documents/reader.py.", -1, functions};

PyMODINIT_FUNC PyInit__perflour_reader(void)
{
    if (strcmp(yaml_get_version_string(), "0.2.5")) { /* what pyyaml's own wheels hold */
        PyErr_SetString(PyExc_ImportError, "made for libyaml 0.2.5");
        return NULL;
    }
    if (PyType_Ready(&SpotsType) || PyType_Ready(&NodeType) || PyType_Ready(&MarkType))
        return NULL;
    PyObject *made = PyModule_Create(&module);
    if (made && (PyModule_AddObjectRef(made, "Node", (PyObject *)&NodeType) ||
                 PyModule_AddIntConstant(made, "MAX_DEPTH", MAX_DEPTH) ||
                 PyModule_AddStringConstant(made, "SOURCE", PERFLOUR_SOURCE)))
        Py_CLEAR(made);
    return made;
}
