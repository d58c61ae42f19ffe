import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../src", import.meta.url));

/** Which room may import which: the one-way road read → check → model → decide → tell. */
const mayImport: Record<string, string[]> = {
  vocabulary: ["vocabulary", "numbers", "version"],
  numbers: ["numbers", "vocabulary"],
  maths: ["maths"],
  messages: ["messages", "vocabulary", "numbers"],
  read: ["read", "messages", "vocabulary", "numbers", "maths"],
  points: ["points", "read", "messages", "vocabulary", "numbers", "maths", "version"],
  check: ["check", "messages", "vocabulary", "numbers", "maths"],
  model: ["model", "messages", "vocabulary", "numbers", "maths", "version"],
  plan: ["plan", "model", "decide", "messages", "vocabulary", "numbers", "maths", "version"],
  decide: ["decide", "model/forms", "messages", "vocabulary", "numbers", "maths"],
  analyze: ["check", "model", "decide", "plan", "vocabulary", "write-result"],
  "analyze-beside": ["analyze", "model", "vocabulary"],
  "write-result": ["decide", "messages", "model", "vocabulary", "version"],
  tell: ["tell", "vocabulary", "numbers"],
  farm: [
    "farm",
    "analyze",
    "analyze-beside",
    "read",
    "check",
    "model",
    "decide",
    "plan",
    "tell",
    "points",
    "messages",
    "vocabulary",
    "numbers",
    "version",
  ],
  page: ["page", "analyze", "decide", "tell", "vocabulary", "numbers"],
  desk: ["desk", "farm", "read", "tell", "vocabulary", "numbers"],
  cli: [
    "cli",
    "farm",
    "analyze",
    "index",
    "read",
    "check",
    "model",
    "decide",
    "plan",
    "tell",
    "points",
    "messages",
    "vocabulary",
    "numbers",
    "maths",
    "version",
  ],
  index: ["farm", "analyze", "read", "check", "decide", "plan", "tell", "vocabulary", "numbers"],
};

function filesUnder(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? filesUnder(path) : path.endsWith(".ts") ? [path] : [];
  });
}

function roomOf(path: string): string {
  const inside = relative(source, path);
  return inside.includes("/") ? inside.split("/")[0]! : inside.replace(/\.ts$/, "");
}

const withoutComments = (code: string): string => code.replaceAll(/\/\*[^]*?\*\//g, "");

const imports = filesUnder(source).flatMap((file) =>
  [...withoutComments(readFileSync(file, "utf8")).matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map(
    (match) => ({
      file,
      target: match[1]!,
    }),
  ),
);

describe("the source tree", () => {
  it("imports only along read → check → model → decide → tell", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("."))
      .filter(({ file, target }) => {
        const path = resolve(dirname(file), target);
        const inside = relative(source, path);
        const allowed = mayImport[roomOf(file)] ?? [];
        return !allowed.some(
          (door) => roomOf(path) === door || inside.startsWith(`${door}.`) || inside.startsWith(`${door}/`),
        );
      })
      .map(({ file, target }) => `${relative(source, file)} imports ${target}`);
    expect(wrong).toEqual([]);
  });

  it("tells the story on one screen", () => {
    const story = readFileSync(join(source, "analyze.ts"), "utf8").split("\n");
    expect(story.length).toBeLessThanOrEqual(110);
  });

  it("touches the platform only in the command line", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("node:"))
      .map(({ file }) => relative(source, file))
      .filter((file) => !file.startsWith("cli/"));
    expect(wrong).toEqual([]);
  });

  it("reads and writes files in one file only", () => {
    const wrong = imports
      .filter(({ target }) => target.startsWith("node:fs"))
      .map(({ file }) => relative(source, file))
      .filter((file) => file !== "cli/files.ts");
    expect(wrong).toEqual([]);
  });

  it("lets no price into the model", () => {
    const priced = filesUnder(join(source, "model"))
      .filter((file) => /price/i.test(withoutComments(readFileSync(file, "utf8"))))
      .map((file) => relative(source, file));
    expect(priced).toEqual([]);
  });

  // A thread of clients hands an error on as it came.
  it("words every error in messages", () => {
    const worded = filesUnder(source)
      .filter((file) => readFileSync(file, "utf8").includes("new TrialError("))
      .map((file) => relative(source, file))
      .filter((file) => !file.startsWith("messages/") && file !== "cli/client-crew.ts");
    expect(worded).toEqual([]);
  });

  it("explains every exported function, class and method of decide, model, plan and read", () => {
    const exported = ["decide", "model", "plan", "read"]
      .flatMap((room) => filesUnder(join(source, room)))
      .flatMap((file) => exportedWork(file));
    expect(exported.length).toBeGreaterThan(400);
    expect(exported.filter(({ explained }) => !explained).map(({ name }) => name)).toEqual([]);
  });
});

/** Exported functions, classes and what others may call of them, and whether a docstring stands above each. */
function exportedWork(file: string): { name: string; explained: boolean }[] {
  const code = ts.createSourceFile(file, readFileSync(file, "utf8"), ts.ScriptTarget.Latest, true);
  const found = (node: ts.Node, name: string) => ({
    name: `${relative(source, file)}: ${name}`,
    explained: ts.getJSDocCommentsAndTags(node).length > 0,
  });
  const isMarked = (node: ts.HasModifiers, wanted: ts.SyntaxKind): boolean =>
    ts.getModifiers(node)?.some(({ kind }) => kind === wanted) === true;
  const isWork = ({ initializer }: ts.VariableDeclaration): boolean =>
    initializer !== undefined && (ts.isArrowFunction(initializer) || ts.isFunctionExpression(initializer));
  const methods = ({ members, name }: ts.ClassDeclaration) =>
    members
      .filter(ts.isMethodDeclaration)
      .filter((one) => !ts.isPrivateIdentifier(one.name) && !isMarked(one, ts.SyntaxKind.PrivateKeyword))
      .map((member) => found(member, `${name!.text}.${member.name.getText()}`));
  return code.statements
    .filter((one) => ts.canHaveModifiers(one) && isMarked(one, ts.SyntaxKind.ExportKeyword))
    .flatMap((one) => {
      if (ts.isFunctionDeclaration(one)) return [found(one, one.name!.text)];
      if (ts.isClassDeclaration(one)) return [found(one, one.name!.text), ...methods(one)];
      if (!ts.isVariableStatement(one)) return [];
      return one.declarationList.declarations.filter(isWork).map(({ name }) => found(one, name.getText()));
    });
}
