/** To a worker: one job at a time. */
export interface JobMessage {
  readonly job: unknown;
}

/** From a worker: that it is ready for its first job, or how the present one ended. */
export type WorkerMessage =
  | { readonly kind: "ready" }
  | { readonly kind: "done"; readonly result: unknown }
  | { readonly kind: "failed"; readonly message: string; readonly stack: string | undefined };
