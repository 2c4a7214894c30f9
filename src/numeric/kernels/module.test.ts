import { Buffer } from "node:buffer";
import { describe, expect, it } from "vitest";
import { bytesOfBase64 } from "./base64.ts";
import { KERNEL_MODULE_BASE64 } from "./module.generated.ts";

interface Compiler {
  compileKernels(): Promise<Uint8Array>;
}

describe("the kernel module", () => {
  it("is what its sources compile to (else run: node scripts/kernels.mjs)", async () => {
    const script = new URL("../../../scripts/kernels.mjs", import.meta.url).href;
    const { compileKernels } = (await import(script)) as Compiler;
    const fresh = Buffer.from(await compileKernels());
    expect(fresh.equals(bytesOfBase64(KERNEL_MODULE_BASE64))).toBe(true);
  });

  it("decodes base64 of any length", () => {
    for (const bytes of [[], [1], [255, 0], [7, 8, 9], [250, 251, 252, 253]]) {
      expect([...bytesOfBase64(Buffer.from(bytes).toString("base64"))]).toEqual(bytes);
    }
  });
});
