/** Rules of this house that the linter has no name for. */

/** A list within a list, or an object within an object, would only keep the formatter from writing a line for each. */
const noSpreadOfALiteral = {
  create: (context) => ({
    SpreadElement(node) {
      if (["ArrayExpression", "ObjectExpression"].includes(node.argument.type))
        context.report({ node, message: "Write the elements where they belong." });
    },
  }),
};

const noLocale = {
  create: (context) => ({
    CallExpression(node) {
      if (/^toLocale/.test(node.callee.property?.name ?? ""))
        context.report({ node, message: "The engine has no locale." });
    },
  }),
};

export default {
  meta: { name: "house" },
  rules: { "no-locale": noLocale, "no-spread-of-a-literal": noSpreadOfALiteral },
};
