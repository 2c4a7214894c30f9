import { join } from "node:path";
import ts from "typescript";
import { projectRoot } from "./needs.ts";
import { sourceFiles } from "./source-files.ts";

/** A class that extends Error, with the values that its `code` can take; empty when it has no such code. */
export interface ErrorClass {
  readonly file: string;
  readonly name: string;
  readonly codes: readonly string[];
}

/** Every error class of the product, its codes as the compiler sees them (literal types and their unions). */
export function errorClasses(): ErrorClass[] {
  const config = ts.readConfigFile(join(projectRoot, "tsconfig.json"), ts.sys.readFile);
  const { options } = ts.parseJsonConfigFileContent(config.config, ts.sys, projectRoot);
  return errorClassesIn(sourceFiles(), projectRoot, options);
}

/** As `errorClasses`, for `files` (relative to `root`) and compiler options of choice. */
export function errorClassesIn(
  files: readonly string[],
  root: string,
  options: ts.CompilerOptions,
): ErrorClass[] {
  const program = ts.createProgram(
    files.map((file) => join(root, file)),
    options,
  );
  const checker = program.getTypeChecker();
  const found: ErrorClass[] = [];
  for (const file of files) {
    const source = program.getSourceFile(join(root, file));
    ts.forEachChild(source as ts.SourceFile, function visit(node): void {
      if (ts.isClassLike(node) && extendsError(node, checker)) {
        found.push({ file, name: node.name?.text ?? "(no name)", codes: codesOf(node, checker) });
      }
      ts.forEachChild(node, visit);
    });
  }
  return found;
}

function extendsError(node: ts.ClassLikeDeclaration, checker: ts.TypeChecker): boolean {
  const bases = checker.getTypeAtLocation(node).getBaseTypes() ?? [];
  const isError = (type: ts.Type): boolean =>
    type.symbol?.name === "Error" || (type.getBaseTypes?.() ?? []).some(isError);
  return bases.some(isError);
}

function codesOf(node: ts.ClassLikeDeclaration, checker: ts.TypeChecker): string[] {
  const property = checker.getTypeAtLocation(node).getProperty("code");
  if (property === undefined) return [];
  const type = checker.getTypeOfSymbolAtLocation(property, node);
  const parts = type.isUnion() ? type.types : [type];
  return parts.every((part) => part.isStringLiteral()) ? parts.map((part) => part.value) : [];
}
