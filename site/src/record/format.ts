/* Generated from schema/record.json by `npm run generate`. Don't edit. */
/**
 * What a visit leaves behind: what was said, found, measured, done, fitted and proven, by whom, and how long it took. Texts are plain text, as they stood on the page.
 */
export interface JobRecord {
  /**
   * The format of this file.
   */
  format: 1;
  /**
   * Tells this visit from all others.
   */
  record: string;
  /**
   * The id of the knowledge base that was walked.
   */
  base: string;
  procedure: Named;
  /**
   * The symptom with which the visit began, as the catalog calls it.
   */
  symptom?: string;
  /**
   * What the customer said, in the customer's own words.
   */
  said?: string;
  equipment: Named1;
  /**
   * Where the equipment stands: one line.
   */
  address?: string;
  /**
   * Who did the work.
   */
  who?: string;
  /**
   * When the visit began.
   */
  began: string;
  /**
   * When the record was last changed.
   */
  changed: string;
  /**
   * Whether an end was reached, the walk is still under way, or was begun again.
   */
  state: "open" | "ended" | "set-aside";
  /**
   * The reader had to stop early: was putting things back, or had left.
   */
  left?: "leaving" | "gone";
  /**
   * How long the work took, in minutes.
   */
  minutes: {
    /**
     * From the beginning to the last answer, by the device's clock, without pauses of more than two hours.
     */
    used: number;
    /**
     * What the procedure plans for the steps that were done.
     */
    planned: number;
  };
  /**
   * The causes that were concluded, in order. Worked out from the entries.
   */
  found: {
    /**
     * The id of the cause in the catalog.
     */
    cause: string;
    /**
     * What the cause is called.
     */
    title: string;
    /**
     * What the proof after the repair showed; none where nothing was proven.
     */
    proof: "fixed" | "not-fixed" | "none";
  }[];
  /**
   * The parts that the steps that were done call for. Worked out from the entries.
   */
  fitted: Named2[];
  /**
   * Every step that was done or answered after the equipment was chosen, in order.
   */
  entries: Entry[];
  /**
   * Notes that were made at steps.
   */
  notes: {
    /**
     * The step at which the note was made.
     */
    step: string;
    /**
     * The title of that step.
     */
    asked: string;
    /**
     * The note.
     */
    text: string;
    /**
     * When it was last changed.
     */
    when: string;
  }[];
  /**
   * Photos that were taken at steps.
   */
  photos: {
    /**
     * Tells this photo from the others of the visit.
     */
    photo: string;
    /**
     * The step at which it was taken.
     */
    step: string;
    /**
     * The title of that step.
     */
    asked: string;
    /**
     * When it was taken into the record.
     */
    when: string;
    /**
     * The picture as JPEG, in Base64.
     */
    jpeg: string;
  }[];
  /**
   * The end that was reached.
   */
  end?: {
    /**
     * The step that is the end; `=done` after a proof.
     */
    step: string;
    /**
     * What the end says.
     */
    title: string;
    /**
     * The cause that this end concludes, where no repair follows.
     */
    cause?: string;
    /**
     * States that stay on purpose, with the reason.
     */
    left: {
      /**
       * The id of the state in the catalog.
       */
      id: string;
      /**
       * What the state is called.
       */
      title: string;
      /**
       * Why it stays.
       */
      why: string;
    }[];
    /**
     * Other states that were true at the end.
     */
    still: Named2[];
    /**
     * Whom to call.
     */
    call?: string;
  };
}
/**
 * The tree that was walked.
 */
export interface Named {
  /**
   * Its id in the base.
   */
  id: string;
  /**
   * What it is called.
   */
  title: string;
}
/**
 * The equipment family that the visit was for.
 */
export interface Named1 {
  /**
   * Its id in the base.
   */
  id: string;
  /**
   * What it is called.
   */
  title: string;
}
/**
 * An entry of the base with what it is called.
 */
export interface Named2 {
  /**
   * Its id in the base.
   */
  id: string;
  /**
   * What it is called.
   */
  title: string;
}
/**
 * One step that was done or answered.
 */
export interface Entry {
  /**
   * The step.
   */
  step: string;
  /**
   * What kind of step it is; licence where the reader was asked for one.
   */
  kind: "look" | "measure" | "do" | "use" | "found" | "licence";
  /**
   * The title of the step.
   */
  asked: string;
  /**
   * The id of the answer or range; `=unsure` where the reader was not sure, `=licensed` or `=unlicensed` where a licence was asked for.
   */
  answer?: string;
  /**
   * The answer in words.
   */
  said?: string;
  /**
   * When it was answered.
   */
  when: string;
  /**
   * The minutes that the procedure plans for the step.
   */
  minutes?: number;
  /**
   * The cause that the step concludes.
   */
  cause?: string;
  /**
   * The step is the proof of a repair.
   */
  proves?: {
    /**
     * The step that concluded the cause that was repaired.
     */
    step: string;
    /**
     * Whether the fault is gone.
     */
    shows: "fixed" | "not-fixed";
  };
  /**
   * The parts that the step calls for.
   *
   * @minItems 1
   */
  parts?: Named2[];
  /**
   * What was read.
   *
   * @minItems 1
   */
  readings?: {
    /**
     * The id of the reading at its step.
     */
    id: string;
    /**
     * What was to be read.
     */
    asked: string;
    /**
     * What was read, in the unit of the procedure.
     */
    amount: number;
    /**
     * The unit of the procedure; 1 for a plain number.
     */
    unit: string;
    /**
     * The number as it was typed.
     */
    typed: string;
    /**
     * The unit in which it was typed.
     */
    in: string;
  }[];
  /**
   * What the readings come to.
   */
  value?: {
    /**
     * What the value is called.
     */
    name: string;
    /**
     * The value, not rounded.
     */
    amount: number;
    /**
     * Its unit; 1 for a plain number.
     */
    unit: string;
    /**
     * The value as the page showed it: rounded, in the unit that the reader chose.
     */
    shown: string;
  };
  /**
   * The range into which the value falls.
   */
  band?: {
    /**
     * What the range means.
     */
    say: string;
    /**
     * Its lower end, which belongs to it, in the unit of the value.
     */
    from?: number;
    /**
     * Its upper end, which does not belong to it, in the unit of the value.
     */
    below?: number;
  };
}
