"""Formulas typeset as MathML by sympy, which browsers draw by themselves."""

from __future__ import annotations

import re
from functools import lru_cache

from markupsafe import Markup, escape

_WORDS = {
    "lambda_": "lamda",
    "asin": "asin",
    "acos": "acos",
    "atan": "atan",
    "max": "Max",
    "min": "Min",
    "ceil": "ceiling",
}


@lru_cache(maxsize=4096)
def typeset(line: str) -> Markup:
    """One formula line as MathML; a line that sympy cannot read stays as text in a code face."""
    import sympy
    from sympy.printing.mathml import mathml

    symbol, _, expression = line.partition("=")
    names = set(re.findall(r"[A-Za-z_]\w*", expression))
    known = {
        "where": sympy.Function("where"), "cbrt": sympy.cbrt, "round": sympy.Function("round"), "log": sympy.log,
        "log10": sympy.Function("log10"), "radians": sympy.Function("radians"), "degrees": sympy.Function("degrees"),
        "ceil": sympy.ceiling, "floor": sympy.floor, "abs": sympy.Abs, "max": sympy.Max, "min": sympy.Min, "pi": sympy.pi,
        "sqrt": sympy.sqrt, "sin": sympy.sin, "cos": sympy.cos, "tan": sympy.tan, "asin": sympy.asin, "acos": sympy.acos,
        "atan": sympy.atan, "atan2": sympy.atan2, "exp": sympy.exp, "sign": sympy.sign,
    }  # fmt: skip
    scope = {name: known.get(name, sympy.Symbol(name.rstrip("_"))) for name in names}
    try:
        parsed = sympy.sympify(
            re.sub(r"(?<![\w.])(\d+\.?\d*)(?![\w.])", r"\1", expression), locals=scope, evaluate=False
        )
        right = mathml(parsed, printer="presentation", mul_symbol="times", order="none")
        left = mathml(sympy.Symbol(symbol.strip().rstrip("_")), printer="presentation")
    except (
        Exception
    ):  # sympy raises its own kinds on what it cannot read, comparisons inside where() among them
        return Markup("<code>{}</code>").format(line)
    body = re.sub(r"</?math[^>]*>", "", left) + "<mo>=</mo>" + re.sub(r"</?math[^>]*>", "", right)
    return Markup(
        f'<math xmlns="http://www.w3.org/1998/Math/MathML" display="block" aria-label="{escape(line)}"><mrow>{body}</mrow></math>'
    )
