/** Where progress is written and how. The clock is handed in. */
export interface ProgressOutput {
  readonly write: (text: string) => void;
  readonly isTerminal: boolean;
  readonly columns: number;
  readonly nowMillis: () => number;
}

/** Progress of long work. */
export interface Progress {
  /** `done` of `total` items of a stage ("reading", "measuring"); `total` null when not known. */
  step(stage: string, done: number, total: number | null): void;
  /** A line that stays: a file that could not be read. */
  note(text: string): void;
  /** Clears the moving line; call once at the end. */
  end(): void;
}

const terminalEveryMillis = 100;
const logEveryMillis = 5000;

/**
 * Progress for standard error: one moving line on a terminal, a line every five seconds and at each
 * stage's end in a log. A stage that is over before the interval passes stays silent in a log.
 */
export function createProgress({ write, isTerminal, columns, nowMillis }: ProgressOutput): Progress {
  const everyMillis = isTerminal ? terminalEveryMillis : logEveryMillis;
  let stageNow = "";
  let stageSinceMillis = 0;
  let shownMillis = 0;
  let moving = false;
  const clear = () => {
    if (moving) write("\r\x1b[2K");
    moving = false;
  };
  return {
    step(stage, done, total) {
      const now = nowMillis();
      if (stage !== stageNow) {
        stageNow = stage;
        stageSinceMillis = now;
        shownMillis = isTerminal ? now - everyMillis : now;
      }
      const finished = total !== null && done >= total;
      const due = now - shownMillis >= everyMillis;
      const worthEnding = finished && (isTerminal || now - stageSinceMillis >= everyMillis);
      if (!due && !worthEnding) return;
      shownMillis = now;
      const text = `${stage} ${done}${total === null ? "" : ` of ${total}`}, ${((now - stageSinceMillis) / 1000).toFixed(1)} s`;
      if (!isTerminal) {
        write(`${text}\n`);
        return;
      }
      write(`\r\x1b[2K${text.slice(0, Math.max(1, columns - 1))}`);
      moving = true;
    },
    note(text) {
      clear();
      write(`${text}\n`);
    },
    end: clear,
  };
}
