import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/record/element.ts");
