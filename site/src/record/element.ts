/**
 * <visit-record>: the report of a visit, to print, share and save. A walk loads this script when its end is reached, and
 * is whole without it.
 *
 * For tests: <visit-record data-summary> has sections [data-said], [data-found], [data-end], [data-left], [data-still],
 * [data-call], [data-measured], [data-answers], [data-done], [data-fitted], [data-proven], [data-notes], and
 * [data-act="print"], [data-act="share"], [data-act="save"], [data-record-status].
 */
import { VisitRecord } from "./visit-record.ts";

customElements.define("visit-record", VisitRecord);
